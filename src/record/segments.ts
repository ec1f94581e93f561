/**
 * The files of a record. Each is named by the first sequence that it holds and never renamed, since others
 * may have it open; the newest is written to, all older ones are closed for good.
 */
import { readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';

export interface Segment {
  readonly path: string;
  /** Of the first event that is in it, or will be. */
  readonly first: number;
}

/** A record that never grew too large is this one file. */
const FIRST_FILE = 'record.db';
const LATER_FILE = /^record-(\d{1,15})\.db$/u;
/** As a listing of the folder sorts them. */
const DIGITS = 12;
/** What SQLite keeps beside a database. */
const BESIDE = ['', '-wal', '-shm'] as const;

export function segmentAt(folder: string, first: number): Segment {
  const name = first === 1 ? FIRST_FILE : `record-${String(first).padStart(DIGITS, '0')}.db`;
  return { path: join(folder, name), first };
}

/** Those of a folder, the oldest first. */
export function segmentsIn(folder: string): readonly Segment[] {
  const found = readdirSync(folder).flatMap((name): Segment[] => {
    const first = name === FIRST_FILE ? 1 : Number(LATER_FILE.exec(name)?.[1] ?? 0);
    return first === 0 ? [] : [{ path: join(folder, name), first }];
  });
  return found.sort((a, b) => a.first - b.first);
}

/** With what is not yet in the database itself. */
export function bytesOf({ path }: Segment): number {
  return BESIDE.map((end) => statSync(path + end, { throwIfNoEntry: false })?.size ?? 0).reduce(
    (sum, bytes) => sum + bytes,
  );
}

/** Whoever has it open reads on in peace. */
export function removeSegment({ path }: Segment): void {
  for (const end of BESIDE) rmSync(path + end, { force: true });
}
