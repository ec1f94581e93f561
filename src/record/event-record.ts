/**
 * The record: every fact in the order in which it was stated, numbered from 1 without a gap.
 *
 * Invariants: one writer a folder; what `append` returned is stored; listeners hear every stored event once,
 * in order, after it is stored; an event once stored never changes. Trace facts outlive the process, all
 * others the machine as well: a sync costs as much as some hundred rows, and curves alone are not worth one.
 * A record has a limit: beyond it the oldest events go, which the record itself tells.
 */
import { CATALOGUE, type CloudEvent, type EventId, type Fact, toCloudEvent } from '../events/index.ts';
import { messageOf } from '../text/message-of.ts';
import { EventFiles } from './event-files.ts';
import { orderedListeners } from './listeners.ts';
import { lockForWriting, type WriterLock } from './writer-lock.ts';

export interface EventRecord {
  /** Made at random when the record began. */
  readonly id: string;
  /**
   * Stores all of them or none; on disk when it returns, unless all are trace facts. Throws RecordError, and
   * then none is stored.
   */
  append(facts: readonly Fact[]): readonly CloudEvent[];
  /** Events after a sequence, in order; at most `limit`, and never more than READ_EVENTS_MAX. */
  readAfter(sequence: number, limit: number): readonly CloudEvent[];
  /**
   * Events of some types before a sequence, the newest first; `limit` as for readAfter. Of those that are out
   * of the record it gives what a start must know.
   */
  readBack(ids: readonly EventId[], before: number, limit: number): readonly CloudEvent[];
  /** The newest event of these types. */
  latest(ids: readonly EventId[]): CloudEvent | undefined;
  /** Of the oldest event that is in it yet, or of the first to come. */
  firstSequence(): number;
  /** Why nothing could be stored when that was last tried; null where it could. */
  trouble(): string | null;
  /** Of the last event stored; 0 where there is none. */
  lastSequence(): number;
  /** Called with what was stored, once it is; the returned function ends it. */
  subscribe(listener: (events: readonly CloudEvent[]) => void): () => void;
  /** Gives the folder free. */
  close(): void;
}

export interface RecordOptions {
  readonly folder: string;
  readonly rigName: string;
  /** What all of its files may hold together; RECORD_BYTES_MAX where nothing is said. */
  readonly limitBytes?: number | undefined;
  readonly wallClock?: () => number;
  /** Told of a listener that threw; a process warning where nobody asks for it. */
  readonly listenerFailed?: (error: unknown) => void;
  /** Told, once each, of an old file that stays where it is; the same where nobody asks for it. */
  readonly removalFailed?: (error: unknown) => void;
}

/** A reader gets its events in pages: no page holds the process up for long. */
export const READ_EVENTS_MAX = 5000;
/** Some two million events: weeks of a bench that somebody works at. */
const RECORD_BYTES_MAX = 1024 ** 3;
/** Less would be gone before anybody has looked at it, and beginning a file is not free. */
export const RECORD_BYTES_MIN = 64 * 1024 ** 2;
const MIB = 1024 ** 2;

/** Makes the folder where it is missing. Throws RecordError. */
export function openRecord(options: RecordOptions): EventRecord {
  const { folder, rigName, limitBytes = RECORD_BYTES_MAX, wallClock = Date.now } = options;
  const lock = lockForWriting(folder);
  const files = openOrRelease(folder, limitBytes, options.removalFailed ?? warn, lock);
  const listeners = orderedListeners<readonly CloudEvent[]>(options.listenerFailed ?? warn);
  let last = files.lastSequence();
  let trouble: string | null = null;

  const store = (facts: readonly Fact[]): readonly CloudEvent[] => {
    const wallClockMs = wallClock();
    const leaving = files.makeRoom(last);
    const told = leaving < files.firstSequence() ? facts : [shortened(leaving, limitBytes, facts), ...facts];
    const events = told.map((fact, index) =>
      toCloudEvent(fact, last + 1 + index, wallClockMs, rigName, files.id),
    );
    const isTrace = told.every(({ id }) => CATALOGUE[id].severity === 'trace');
    files.insert(events, isTrace ? 'unsynced' : 'synced');
    last += events.length;
    files.dropThrough(leaving);
    return events;
  };
  const readBack: EventRecord['readBack'] = (ids, before, limit) => files.readBack(ids, before, page(limit));
  return {
    id: files.id,
    append: (facts) => {
      if (facts.length === 0) return [];
      let events: readonly CloudEvent[];
      try {
        events = store(facts);
        trouble = null;
      } catch (error) {
        trouble = messageOf(error);
        throw error;
      }
      listeners.tell(events);
      return events.slice(-facts.length);
    },
    readAfter: (sequence, limit) => files.after(sequence, page(limit)),
    readBack,
    latest: (ids) => readBack(ids, Number.MAX_SAFE_INTEGER, 1)[0],
    firstSequence: () => files.firstSequence(),
    trouble: () => trouble,
    lastSequence: () => last,
    subscribe: (listener) => listeners.add(listener),
    close: () => {
      try {
        files.close();
      } finally {
        lock.release();
      }
    },
  };
}

/** The record has no clock of the bench: this is as late as what is stored with it. */
function shortened(through: number, limitBytes: number, [fact]: readonly Fact[]): Fact {
  const fields = { through, limitMiB: limitBytes / MIB };
  return { id: 'record.shortened', atMs: fact?.atMs ?? 0, fields };
}

function openOrRelease(
  folder: string,
  limitBytes: number,
  removalFailed: (error: unknown) => void,
  lock: WriterLock,
): EventFiles {
  try {
    return new EventFiles(folder, limitBytes, removalFailed);
  } catch (error) {
    lock.release();
    throw error;
  }
}

function page(limit: number): number {
  return Math.max(0, Math.min(Math.floor(limit), READ_EVENTS_MAX));
}

function warn(error: unknown): void {
  process.emitWarning(error instanceof Error ? error : new Error('a listener of the record threw'));
}
