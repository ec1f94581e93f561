/**
 * The record: every fact in the order in which it was stated, numbered from 1 without a gap.
 *
 * Invariants: one writer a folder; what `append` returned is stored; listeners hear every stored event once,
 * in order, after it is stored; an event once stored never changes. Trace facts outlive the process, all
 * others the machine as well: a sync costs as much as some hundred rows, and curves alone are not worth one.
 */
import { mkdirSync } from 'node:fs';
import {
  CATALOGUE,
  type CloudEvent,
  type EventId,
  type Fact,
  toCloudEvent,
  typeOf,
} from '../events/index.ts';
import { type EventFile, openEventFile } from './event-file.ts';
import { orderedListeners } from './listeners.ts';
import { lockForWriting, unwritable, type WriterLock } from './writer-lock.ts';

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
  /** Events of some types before a sequence, the newest first; `limit` as for readAfter. */
  readBack(ids: readonly EventId[], before: number, limit: number): readonly CloudEvent[];
  /** The newest event of these types. */
  latest(ids: readonly EventId[]): CloudEvent | undefined;
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
  readonly wallClock?: () => number;
  /** Told of a listener that threw; a process warning where nobody asks for it. */
  readonly listenerFailed?: (error: unknown) => void;
}

/** A reader gets its events in pages: no page holds the process up for long. */
export const READ_EVENTS_MAX = 5000;

/** Makes the folder where it is missing. Throws RecordError. */
export function openRecord(options: RecordOptions): EventRecord {
  const { folder, rigName, wallClock = Date.now } = options;
  try {
    mkdirSync(folder, { recursive: true });
  } catch (error) {
    throw unwritable(folder, error);
  }
  const lock = lockForWriting(folder);
  const file = openOrRelease(folder, lock);
  const listeners = orderedListeners<readonly CloudEvent[]>(options.listenerFailed ?? warn);
  let last = file.lastSequence;
  let open = true;

  const readBack: EventRecord['readBack'] = (ids, before, limit) => {
    const most = page(limit);
    const found = ids.flatMap((id) => file.back(typeOf(id), before, most));
    return found.sort((a, b) => b.sequence - a.sequence).slice(0, most);
  };
  return {
    id: file.id,
    append: (facts) => {
      if (facts.length === 0) return [];
      const wallClockMs = wallClock();
      const events = facts.map((fact, index) =>
        toCloudEvent(fact, last + 1 + index, wallClockMs, rigName, file.id),
      );
      const isTrace = facts.every(({ id }) => CATALOGUE[id].severity === 'trace');
      file.insert(events, isTrace ? 'unsynced' : 'synced');
      last += events.length;
      listeners.tell(events);
      return events;
    },
    readAfter: (sequence, limit) => file.after(sequence, page(limit)),
    readBack,
    latest: (ids) => readBack(ids, Number.MAX_SAFE_INTEGER, 1)[0],
    lastSequence: () => last,
    subscribe: (listener) => listeners.add(listener),
    close: () => {
      if (!open) return;
      open = false;
      try {
        file.close();
      } finally {
        lock.release();
      }
    },
  };
}

function openOrRelease(folder: string, lock: WriterLock): EventFile {
  try {
    return openEventFile(folder);
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
