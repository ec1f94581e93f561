/** What no program of ours does to a record: SQL of one's own. */
import { join } from 'node:path';
import Database from 'libsql';

export function meddle(folder: string, sql: string, file = 'record.db'): void {
  const database = new Database(join(folder, file));
  database.exec(sql);
  database.close();
}
