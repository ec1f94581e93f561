/** Where records may lie: two processes of one bench have a folder each below the common one. */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';

/** For work on a line: beside the own record of a bench, which a running bench has locked. */
export const SERVICE_FOLDER = 'service';

export function recordFolders(data: string): readonly string[] {
  try {
    const entries = readdirSync(data, { withFileTypes: true });
    return [data, ...entries.filter((entry) => entry.isDirectory()).map(({ name }) => join(data, name))];
  } catch {
    return [data];
  }
}
