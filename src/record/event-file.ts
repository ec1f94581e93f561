/**
 * The file behind a record: one SQLite database (through libsql) with one row an event.
 *
 * Write-ahead log: with synchronous FULL SQLite syncs the log before a commit returns, so what was committed
 * survives a crash of the machine; with NORMAL it survives a crash of the process, and of the machine once
 * anything after it was synced (SQLite documentation, PRAGMA synchronous). Triggers refuse
 * changes of what is stored. Each event is kept as the text that was sent out, so that a later catalogue
 * changes nothing of what was once said.
 */
import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import Database from 'libsql';
import type { CloudEvent } from '../events/index.ts';
import { ELSEWHERE, RecordError, sqliteCode } from './record-error.ts';
import { unwritable } from './writer-lock.ts';

const RECORD_FILE = 'record.db';

/** "lkbr" in ASCII: marks the file as ours (SQLite file format, section 1.3.14). */
const APPLICATION_ID = 0x6c6b6272;
const FORMAT_VERSION = 1;
/** A reader elsewhere may hold a checkpoint up for a moment; the writer waits no longer than this. */
const BUSY_MS_MAX = 1000;

const SCHEMA = `
  CREATE TABLE about (id TEXT NOT NULL) STRICT;
  CREATE TABLE events (sequence INTEGER PRIMARY KEY, type TEXT NOT NULL, event TEXT NOT NULL) STRICT;
  CREATE INDEX events_by_type ON events (type, sequence);
  CREATE TRIGGER events_stay BEFORE UPDATE ON events
    BEGIN SELECT RAISE(ABORT, 'a record is only added to'); END;
  CREATE TRIGGER events_remain BEFORE DELETE ON events
    BEGIN SELECT RAISE(ABORT, 'a record is only added to'); END;
  PRAGMA application_id = ${APPLICATION_ID};
  PRAGMA user_version = ${FORMAT_VERSION};
`;

export type Durability = 'synced' | 'unsynced';
const SYNCHRONOUS: Readonly<Record<Durability, string>> = { synced: 'FULL', unsynced: 'NORMAL' };

export interface EventFile {
  /** Made at random when the record began; tells it from every other one. */
  readonly id: string;
  /** Of the last event when it was opened; 0 for an empty record. */
  readonly lastSequence: number;
  /** All of them, or none; with `synced` on disk when it returns. */
  insert(events: readonly CloudEvent[], durability: Durability): void;
  after(sequence: number, limit: number): readonly CloudEvent[];
  /** Of one type, before a sequence, the newest first. */
  back(type: string, before: number, limit: number): readonly CloudEvent[];
  close(): void;
}

/** Throws RecordError. */
export function openEventFile(folder: string): EventFile {
  const path = join(folder, RECORD_FILE);
  let database: Database.Database;
  try {
    database = new Database(path);
  } catch (error) {
    throw unwritable(folder, error);
  }
  try {
    prepareFile(database, path);
    return eventFile(database, path);
  } catch (error) {
    database.close();
    throw error instanceof RecordError ? error : whyNotOpened(folder, path, error);
  }
}

function prepareFile(database: Database.Database, path: string): void {
  database.exec(`PRAGMA busy_timeout = ${BUSY_MS_MAX}`);
  const application = pragma(database, 'application_id');
  const isNew = application === 0 && database.prepare('SELECT name FROM sqlite_schema').all().length === 0;
  if (!isNew && application !== APPLICATION_ID) throw notOurs(path);
  if (!isNew && pragma(database, 'user_version') !== FORMAT_VERSION) {
    const message = `${path} was written by another version: use that one, or ${ELSEWHERE}.`;
    throw new RecordError('notARecord', message);
  }
  database.exec('PRAGMA journal_mode = WAL');
  if (!isNew) return;
  inTransaction(database, () => {
    database.exec(SCHEMA);
    database.prepare('INSERT INTO about (id) VALUES (?)').run(randomUUID());
  });
}

function eventFile(database: Database.Database, path: string): EventFile {
  const insertOne = database.prepare('INSERT INTO events (sequence, type, event) VALUES (?, ?, ?)');
  const readAfter = database.prepare('SELECT event FROM events WHERE sequence > ? ORDER BY sequence LIMIT ?');
  const readBack = database.prepare(
    'SELECT event FROM events WHERE type = ? AND sequence < ? ORDER BY sequence DESC LIMIT ?',
  );
  const parsed = (rows: () => unknown[]): readonly CloudEvent[] => {
    try {
      return (rows() as { readonly event: string }[]).map(({ event }) => JSON.parse(event) as CloudEvent);
    } catch (error) {
      throw damaged(path, error);
    }
  };
  const [about] = database.prepare('SELECT id FROM about').all() as { readonly id: string }[];
  if (about === undefined) throw damaged(path, undefined);
  const last = database.prepare('SELECT sequence FROM events ORDER BY sequence DESC LIMIT 1').all();
  return {
    id: about.id,
    lastSequence: Math.max(0, ...(last as { readonly sequence: number }[]).map(({ sequence }) => sequence)),
    insert: (events, durability) => {
      try {
        database.exec(`PRAGMA synchronous = ${SYNCHRONOUS[durability]}`);
        inTransaction(database, () => {
          for (const event of events) insertOne.run(event.sequence, event.type, JSON.stringify(event));
        });
      } catch (error) {
        const message = `The record ${path} took no more events (${String(error)})`;
        throw new RecordError('notStored', `${message}: see that its disk is there and has room.`, error);
      }
    },
    after: (sequence, limit) => parsed(() => readAfter.all(sequence, limit)),
    back: (type, before, limit) => parsed(() => readBack.all(type, before, limit)),
    close: () => {
      try {
        // Leaves one file that is whole by itself, for whoever copies it.
        database.exec('PRAGMA wal_checkpoint(TRUNCATE)');
      } finally {
        database.close();
      }
    },
  };
}

function inTransaction(database: Database.Database, work: () => void): void {
  database.exec('BEGIN IMMEDIATE');
  try {
    work();
    database.exec('COMMIT');
  } catch (error) {
    // Some errors (a full disk) have rolled back already (SQLite documentation, sqlite3_get_autocommit).
    if (database.inTransaction) database.exec('ROLLBACK');
    throw error;
  }
}

function pragma(database: Database.Database, name: 'application_id' | 'user_version'): number | undefined {
  const rows = database.prepare(`PRAGMA ${name}`).all() as Record<string, number>[];
  return rows.map((row) => row[name])[0];
}

function whyNotOpened(folder: string, path: string, error: unknown): RecordError {
  const code = sqliteCode(error);
  if (code === 'SQLITE_NOTADB') return notOurs(path);
  // SQLITE_ERROR: the file is marked as ours, but its tables are not there.
  return /^SQLITE_(CORRUPT|ERROR)/u.test(code) ? damaged(path, error) : unwritable(folder, error);
}

function notOurs(path: string): RecordError {
  return new RecordError('notARecord', `${path} is not a record: move it away, or ${ELSEWHERE}.`);
}

function damaged(path: string, cause: unknown): RecordError {
  const message = `The record ${path} is damaged: move it away and keep it, or ${ELSEWHERE}.`;
  return new RecordError('damaged', message, cause);
}
