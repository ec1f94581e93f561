/** What can be read from one file of a record, whoever writes it. */
import { pathToFileURL } from 'node:url';
import Database from 'libsql';
import type { CloudEvent } from '../events/index.ts';
import { BUSY_MS_MAX, damaged, isRecordFile } from './database.ts';
import { RecordError } from './record-error.ts';
import type { Segment } from './segments.ts';

/** An event as its row holds it. */
export interface StoredRow {
  readonly sequence: number;
  readonly type: string;
  readonly event: string;
}

export interface StoredEvents {
  /** Of the record; made at random when that began. */
  readonly id: string;
  /** Of the last event; one before the first where there is none. */
  lastSequence(): number;
  after(sequence: number, limit: number): readonly CloudEvent[];
  /** The same as it lies there, unread. */
  rowsAfter(sequence: number, limit: number): readonly StoredRow[];
  /** Of one type, before a sequence, the newest first. */
  back(type: string, before: number, limit: number): readonly CloudEvent[];
  /** The same of what a start must know from before this file. */
  carriedBack(type: string, before: number, limit: number): readonly CloudEvent[];
  close(): void;
}

/** A file that others may write, or that is closed; nothing done here changes it. Throws RecordError. */
export function openToRead(segment: Segment): StoredEvents & { readonly database: Database.Database } {
  const { path } = segment;
  let database: Database.Database | undefined;
  try {
    database = new Database(`${pathToFileURL(path).href}?mode=ro`);
    database.exec(`PRAGMA busy_timeout = ${BUSY_MS_MAX}`);
    if (!isRecordFile(database, path)) throw damaged(path, undefined);
    return { ...storedEvents(database, segment), database };
  } catch (error) {
    database?.close();
    throw whyNotRead(path, error);
  }
}

export function storedEvents(database: Database.Database, { path, first }: Segment): StoredEvents {
  const rows = database.prepare(
    'SELECT sequence, type, event FROM events WHERE sequence > ? ORDER BY sequence LIMIT ?',
  );
  const back = backwards(database, 'events');
  const carriedBack = backwards(database, 'carried');
  const last = database.prepare('SELECT max(sequence) AS last FROM events');
  const [about] = database.prepare('SELECT id FROM about').all() as { readonly id: string }[];
  if (about === undefined) throw damaged(path, undefined);

  const read = <Row>(ask: () => unknown): Row[] => {
    try {
      return ask() as Row[];
    } catch (error) {
      throw damaged(path, error);
    }
  };
  const events = (ask: () => unknown): readonly CloudEvent[] =>
    read(() => (ask() as { readonly event: string }[]).map(({ event }) => JSON.parse(event) as CloudEvent));
  return {
    id: about.id,
    lastSequence: () => read<{ readonly last: number | null }>(() => last.all())[0]?.last ?? first - 1,
    after: (sequence, limit) => events(() => rows.all(sequence, limit)),
    rowsAfter: (sequence, limit) => read(() => rows.all(sequence, limit)),
    back: (type, before, limit) => events(() => back.all(type, before, limit)),
    carriedBack: (type, before, limit) => events(() => carriedBack.all(type, before, limit)),
    close: () => {
      database.close();
    },
  };
}

function backwards(database: Database.Database, table: 'events' | 'carried'): Database.Statement {
  return database.prepare(
    `SELECT event FROM ${table} WHERE type = ? AND sequence < ? ORDER BY sequence DESC LIMIT ?`,
  );
}

function whyNotRead(path: string, error: unknown): RecordError {
  if (error instanceof RecordError) return error;
  const { code } = Object(error) as { readonly code?: unknown };
  if (code === 'SQLITE_NOTADB')
    return new RecordError('notARecord', `${path} is not a record: name the folder of one.`);
  if (/SQLITE_(CORRUPT|ERROR)/u.test(String(code))) return damaged(path, error);
  const message = `The record ${path} cannot be read (${String(error)}): copy its folder to where you may write, and read it there.`;
  return new RecordError('unreadable', message, error);
}
