/**
 * A record as others read it, while it is written or later: without the writer's lock, and changing nothing.
 * It ends with what was the last event when it was opened.
 */
import { existsSync, statSync } from 'node:fs';
import type Database from 'libsql';
import { type CloudEvent, type EventId, typeOf } from '../events/index.ts';
import { damaged } from './database.ts';
import { RecordError } from './record-error.ts';
import { bytesOf, type Segment, segmentsIn } from './segments.ts';
import { openToRead, type StoredEvents } from './stored-events.ts';

export interface RecordReader {
  readonly id: string;
  readonly first: number;
  readonly last: number;
  readonly files: readonly ReadFile[];
  /** In order. Throws RecordError where it comes to something damaged. */
  events(after: number): Generator<CloudEvent>;
  /** Those of some types, the newest of each first. Throws as `events` does. */
  back(ids: readonly EventId[]): Generator<CloudEvent>;
  /** How many there are of each source and severity. */
  counts(): readonly Count[];
  close(): void;
}

export interface ReadFile {
  readonly segment: Segment;
  readonly bytes: number;
  readonly stored: StoredEvents & { readonly database: Database.Database };
}

export interface UnreadFile {
  readonly segment: Segment;
  readonly error: RecordError;
}

export interface Count {
  readonly source: string;
  readonly severity: string;
  readonly count: number;
}

/** No transaction of a reader holds the writer's log up for longer than such a page takes. */
export const PAGE_EVENTS = 1000;

/** Throws RecordError; `missing` where the folder holds no record. */
export function openReader(folder: string): RecordReader {
  const files = openFiles(folder);
  const [oldest] = files;
  if (oldest === undefined) throw missing(folder);
  const newest = files.at(-1) ?? oldest;
  const last = lastOrClose(files, newest);
  return {
    id: newest.stored.id,
    first: oldest.segment.first,
    last,
    files,
    *events(after) {
      for (const { stored } of files) {
        let at = after;
        for (;;) {
          const page = stored.after(at, PAGE_EVENTS).filter(({ sequence }) => sequence <= last);
          yield* page;
          if (page.length < PAGE_EVENTS) break;
          at = page.at(-1)?.sequence ?? last;
        }
      }
    },
    *back(ids) {
      for (const type of ids.map(typeOf)) {
        for (const { stored } of files.toReversed()) yield* pagesBack(stored, type, last + 1);
      }
    },
    counts: () => files.flatMap(countsIn),
    close: () => {
      closeFiles(files);
    },
  };
}

function* pagesBack(stored: StoredEvents, type: string, behind: number): Generator<CloudEvent> {
  let before = behind;
  for (;;) {
    const page = stored.back(type, before, PAGE_EVENTS);
    yield* page;
    if (page.length < PAGE_EVENTS) return;
    before = page.at(-1)?.sequence ?? 0;
  }
}

export function missing(folder: string): RecordError {
  return new RecordError('missing', `There is no record in ${folder}: name the folder of one with --data.`);
}

function lastOrClose(files: readonly ReadFile[], { stored }: ReadFile): number {
  try {
    return stored.lastSequence();
  } catch (error) {
    closeFiles(files);
    throw error;
  }
}

function openFiles(folder: string): readonly ReadFile[] {
  const files = filesIn(folder);
  const [bad] = files.filter((file) => 'error' in file);
  if (bad === undefined) return files as readonly ReadFile[];
  closeFiles(files);
  throw bad.error;
}

/** All that a folder holds, each opened or with the reason why not. */
export function filesIn(folder: string): readonly (ReadFile | UnreadFile)[] {
  const found = listed(folder).map(asFound);
  // A writer takes its oldest out, maybe just now: before one that has gone there is nothing left.
  const oldest = found.lastIndexOf('gone') + 1;
  closeFiles(found.slice(0, oldest));
  return found.slice(oldest).filter(isFile);
}

/** One without anything in it is just begun. */
type Found = ReadFile | UnreadFile | 'gone' | 'begun';

const isFile = (found: Found): found is ReadFile | UnreadFile => typeof found === 'object';

function asFound(segment: Segment): Found {
  const { path } = segment;
  const size = statSync(path, { throwIfNoEntry: false })?.size;
  if (size === undefined) return 'gone';
  if (size === 0) return 'begun';
  try {
    return { segment, bytes: bytesOf(segment), stored: openToRead(segment) };
  } catch (error) {
    if (!(error instanceof RecordError)) throw error;
    return existsSync(path) ? { segment, error } : 'gone';
  }
}

export function closeFiles(files: readonly Found[]): void {
  for (const file of files.filter(isFile)) if ('stored' in file) file.stored.close();
}

function listed(folder: string): readonly Segment[] {
  try {
    return segmentsIn(folder);
  } catch (error) {
    const message = `${folder} cannot be read (${String(error)}): name the folder of a record with --data.`;
    throw new RecordError('missing', message, error);
  }
}

function countsIn({ segment, stored }: ReadFile): readonly Count[] {
  try {
    const ask = stored.database.prepare(
      `SELECT json_extract(event, '$.source') AS source, json_extract(event, '$.data.severity') AS severity,
         count(*) AS count FROM events GROUP BY 1, 2`,
    );
    return ask.all() as Count[];
  } catch (error) {
    throw damaged(segment.path, error);
  }
}
