/** Trouble with the folder or the file of a record, as a sentence that says what to do about it. */

export type RecordTrouble =
  /** The folder cannot be made or written. */
  | 'unwritable'
  /** The file is no record of ours, or one of a newer version. */
  | 'notARecord'
  /** Another process, or this one, writes there already. */
  | 'inUse'
  /** A record of ours, but its content cannot be read. */
  | 'damaged'
  /** The folder holds none. */
  | 'missing'
  /** There, but not to be read where it is. */
  | 'unreadable'
  /** It was open, and storing failed: the disk is full, or gone. */
  | 'notStored';

/** What always helps, since a record begins in any folder. */
export const ELSEWHERE = 'name another folder with --data';

export class RecordError extends Error {
  readonly kind: RecordTrouble;

  constructor(kind: RecordTrouble, message: string, cause?: unknown) {
    super(message, { cause });
    this.kind = kind;
  }
}

/** SQLite's result code by name ("SQLITE_BUSY"); anything else for an error that is not from there. */
export function sqliteCode(error: unknown): string {
  const { code } = Object(error) as { readonly code?: unknown };
  return String(code);
}
