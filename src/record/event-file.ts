/**
 * The file that a record writes to: one SQLite database with one row an event.
 *
 * Write-ahead log: with synchronous FULL SQLite syncs the log before a commit returns, so what was committed
 * survives a crash of the machine; with NORMAL it survives a crash of the process, and of the machine once
 * anything after it was synced (SQLite documentation, PRAGMA synchronous). Triggers refuse
 * changes of what is stored. Each event is kept as the text that was sent out, so that a later catalogue
 * changes nothing of what was once said.
 */
import { dirname } from 'node:path';
import Database from 'libsql';
import type { CloudEvent } from '../events/index.ts';
import {
  APPLICATION_ID,
  BUSY_MS_MAX,
  FORMAT_VERSION,
  isRecordFile,
  notStored,
  whyNotOpened,
} from './database.ts';
import type { Segment } from './segments.ts';
import { type StoredEvents, storedEvents } from './stored-events.ts';
import { unwritable } from './writer-lock.ts';

const SCHEMA = `
  CREATE TABLE about (id TEXT NOT NULL) STRICT;
  CREATE TABLE events (sequence INTEGER PRIMARY KEY, type TEXT NOT NULL, event TEXT NOT NULL) STRICT;
  CREATE INDEX events_by_type ON events (type, sequence);
  CREATE TABLE carried (sequence INTEGER PRIMARY KEY, type TEXT NOT NULL, event TEXT NOT NULL) STRICT;
  CREATE TRIGGER events_stay BEFORE UPDATE ON events
    BEGIN SELECT RAISE(ABORT, 'a record is only added to'); END;
  CREATE TRIGGER events_remain BEFORE DELETE ON events
    BEGIN SELECT RAISE(ABORT, 'a record is only added to'); END;
  PRAGMA application_id = ${APPLICATION_ID};
  PRAGMA user_version = ${FORMAT_VERSION};
`;

export type Durability = 'synced' | 'unsynced';
const SYNCHRONOUS: Readonly<Record<Durability, string>> = { synced: 'FULL', unsynced: 'NORMAL' };

/** What a new file begins with. */
export interface Beginning {
  readonly id: string;
  /** Events of before that a start must know, wherever they may have gone by then. */
  readonly carried: readonly CloudEvent[];
}

export interface EventFile extends StoredEvents {
  /** All of them, or none; with `synced` on disk when it returns. The characters that they took. */
  insert(events: readonly CloudEvent[], durability: Durability): number;
  /** What was inserted is on disk, but for what a reader elsewhere holds up: it waits for nobody. */
  sync(): void;
}

/** `beginning` is asked where there is no such file, or nothing in it. Throws RecordError. */
export function openEventFile(segment: Segment, beginning: () => Beginning): EventFile {
  const { path } = segment;
  const folder = dirname(path);
  let database: Database.Database;
  try {
    database = new Database(path);
  } catch (error) {
    throw unwritable(folder, error);
  }
  try {
    prepareFile(database, path, beginning);
    return eventFile(database, segment);
  } catch (error) {
    database.close();
    throw whyNotOpened(folder, path, error);
  }
}

function prepareFile(database: Database.Database, path: string, beginning: () => Beginning): void {
  database.exec(`PRAGMA busy_timeout = ${BUSY_MS_MAX}`);
  const isOld = isRecordFile(database, path);
  database.exec('PRAGMA journal_mode = WAL');
  if (isOld) return;
  const { id, carried } = beginning();
  inTransaction(database, () => {
    database.exec(SCHEMA);
    database.prepare('INSERT INTO about (id) VALUES (?)').run(id);
    carried.forEach(inserting(database, 'carried'));
  });
}

function eventFile(database: Database.Database, segment: Segment): EventFile {
  const insertOne = inserting(database, 'events');
  return {
    ...storedEvents(database, segment),
    insert: (events, durability) => {
      try {
        database.exec(`PRAGMA synchronous = ${SYNCHRONOUS[durability]}`);
        return inTransaction(database, () => events.reduce((sum, event) => sum + insertOne(event), 0));
      } catch (error) {
        throw notStored(segment.path, error);
      }
    },
    sync: () => {
      database.exec('PRAGMA wal_checkpoint(PASSIVE)');
    },
    close: () => {
      try {
        // Leaves one file that is whole by itself, for whoever copies it, or may only read.
        database.exec('PRAGMA busy_timeout = 0');
        database.exec('PRAGMA journal_mode = DELETE');
      } catch {
        // A reader has it open, or the disk is full: the log beside the file holds what is not in it yet.
      } finally {
        database.close();
      }
    },
  };
}

function inserting(database: Database.Database, table: 'events' | 'carried'): (event: CloudEvent) => number {
  const insert = database.prepare(`INSERT INTO ${table} (sequence, type, event) VALUES (?, ?, ?)`);
  return (event) => {
    const text = JSON.stringify(event);
    insert.run(event.sequence, event.type, text);
    return text.length;
  };
}

function inTransaction<Result>(database: Database.Database, work: () => Result): Result {
  database.exec('BEGIN IMMEDIATE');
  try {
    const result = work();
    database.exec('COMMIT');
    return result;
  } catch (error) {
    // Some errors (a full disk) have rolled back already (SQLite documentation, sqlite3_get_autocommit).
    if (database.inTransaction) database.exec('ROLLBACK');
    throw error;
  }
}
