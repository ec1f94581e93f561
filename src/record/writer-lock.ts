/**
 * One writer a folder: a small database beside the record, held under SQLite's exclusive lock.
 *
 * The lock is the operating system's (fcntl), so it ends with the process however that ends, and nothing
 * has to be cleaned up after a kill. It is not on the record itself, so that others may still read that.
 */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'libsql';
import { ELSEWHERE, RecordError, sqliteCode } from './record-error.ts';

const LOCK_FILE = 'writer.lock';

export interface WriterLock {
  release(): void;
}

/** Makes the folder where it is missing. Throws RecordError: `inUse`, or `unwritable`. */
export function lockForWriting(folder: string): WriterLock {
  const file = join(folder, LOCK_FILE);
  let lock: Database.Database;
  try {
    mkdirSync(folder, { recursive: true });
    lock = new Database(file);
  } catch (error) {
    throw unwritable(folder, error);
  }
  try {
    // Never committed: the lock lasts until it is closed, or the process is gone.
    lock.exec('BEGIN EXCLUSIVE');
  } catch (error) {
    lock.close();
    throw whyNotLocked(folder, file, error);
  }
  return {
    release: () => {
      lock.close();
    },
  };
}

export function unwritable(folder: string, cause: unknown): RecordError {
  const message = `The record cannot be written in ${folder}: make it writable, or ${ELSEWHERE}.`;
  return new RecordError('unwritable', message, cause);
}

function whyNotLocked(folder: string, file: string, error: unknown): RecordError {
  switch (sqliteCode(error)) {
    case 'SQLITE_BUSY':
      return new RecordError(
        'inUse',
        `The record in ${folder} is being written by another process: stop that one, or ${ELSEWHERE}.`,
        error,
      );
    case 'SQLITE_NOTADB':
      return new RecordError(
        'notARecord',
        `${file} is not the lock of a record: move it away, or ${ELSEWHERE}.`,
        error,
      );
    default:
      return unwritable(folder, error);
  }
}
