/** What is common to all work on one file of a record: SQLite (through libsql), and what its errors mean. */
import { statSync } from 'node:fs';
import type Database from 'libsql';
import { ELSEWHERE, RecordError, sqliteCode } from './record-error.ts';
import { unwritable } from './writer-lock.ts';

/** "lkbr" in ASCII: marks the file as ours (SQLite file format, section 1.3.14). */
export const APPLICATION_ID = 0x6c6b6272;
export const FORMAT_VERSION = 1;
/** A reader elsewhere may hold a checkpoint up for a moment; nobody waits longer than this. */
export const BUSY_MS_MAX = 1000;

/** True for a file of ours, false for one without anything in it. Throws RecordError for any other. */
export function isRecordFile(database: Database.Database, path: string): boolean {
  // What SQLite makes of a folder is not always the same.
  if (statSync(path).isDirectory()) throw notOurs(path);
  const application = pragma(database, 'application_id');
  if (application === 0 && database.prepare('SELECT name FROM sqlite_schema').all().length === 0)
    return false;
  if (application !== APPLICATION_ID) throw notOurs(path);
  if (pragma(database, 'user_version') === FORMAT_VERSION) return true;
  const message = `${path} was written by another version: use that one, or ${ELSEWHERE}.`;
  throw new RecordError('notARecord', message);
}

function pragma(database: Database.Database, name: 'application_id' | 'user_version'): number | undefined {
  const rows = database.prepare(`PRAGMA ${name}`).all() as Record<string, number>[];
  return rows.map((row) => row[name])[0];
}

/** Why a file could not be opened, as our own error. */
export function whyNotOpened(folder: string, path: string, error: unknown): RecordError {
  if (error instanceof RecordError) return error;
  const code = sqliteCode(error);
  if (code === 'SQLITE_NOTADB') return notOurs(path);
  // SQLITE_ERROR: the file is marked as ours, but its tables are not there.
  return /SQLITE_(CORRUPT|ERROR)/u.test(code) ? damaged(path, error) : unwritable(folder, error);
}

export function damaged(path: string, cause: unknown): RecordError {
  const message = `The record ${path} is damaged: move its folder away and keep it, or ${ELSEWHERE}.`;
  return new RecordError('damaged', message, cause);
}

export function notStored(path: string, cause: unknown): RecordError {
  const message = `The record ${path} took no more events (${String(cause)})`;
  return new RecordError('notStored', `${message}: see that its disk is there and has room.`, cause);
}

function notOurs(path: string): RecordError {
  return new RecordError('notARecord', `${path} is not a record: move it away, or ${ELSEWHERE}.`);
}
