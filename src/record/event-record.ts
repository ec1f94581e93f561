/**
 * The record: every fact in the order in which it was stated, numbered from 1 without a gap.
 *
 * Invariants: one writer a folder; what `append` returned is on disk; listeners hear every stored event
 * once, in order, after it is on disk; an event once stored never changes.
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
  /** Stores all of them or none; on disk when it returns. Throws RecordError, and then none is stored. */
  append(facts: readonly Fact[]): readonly CloudEvent[];
  /**
   * Takes a trace fact for the next append or flush; a full buffer flushes itself. Throws RecordError where
   * that fails, and has then not taken the fact; RangeError for a fact that must not wait.
   */
  appendLater(fact: Fact): void;
  flush(): void;
  /** Events after a sequence, in order; at most `limit`, and never more than READ_EVENTS_MAX. */
  readAfter(sequence: number, limit: number): readonly CloudEvent[];
  /** Events of some types before a sequence, the newest first; `limit` as for readAfter. */
  readBack(ids: readonly EventId[], before: number, limit: number): readonly CloudEvent[];
  /** The newest event of these types. */
  latest(ids: readonly EventId[]): CloudEvent | undefined;
  /** Of the last event on disk; 0 where there is none. */
  lastSequence(): number;
  /** Called with what was stored, once it is on disk; the returned function ends it. */
  subscribe(listener: (events: readonly CloudEvent[]) => void): () => void;
  /** Flushes, and gives the folder free. */
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
/** A sync costs as much as some hundred rows, so that many trace facts share one. */
export const BUFFERED_FACTS_MAX = 256;

interface Stated {
  readonly fact: Fact;
  readonly wallClockMs: number;
}

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
  let waiting: Stated[] = [];
  let open = true;

  const state = (fact: Fact): Stated => ({ fact, wallClockMs: wallClock() });
  const store = (stated: readonly Stated[]): readonly CloudEvent[] => {
    if (stated.length === 0) return [];
    const events = stated.map(({ fact, wallClockMs }, index) =>
      toCloudEvent(fact, last + 1 + index, wallClockMs, rigName, file.id),
    );
    file.insert(events);
    last += events.length;
    waiting = [];
    listeners.tell(events);
    return events;
  };
  const readBack: EventRecord['readBack'] = (ids, before, limit) => {
    const most = page(limit);
    const found = ids.flatMap((id) => file.back(typeOf(id), before, most));
    return found.sort((a, b) => b.sequence - a.sequence).slice(0, most);
  };
  return {
    id: file.id,
    append: (facts) => {
      const before = waiting.length;
      return store([...waiting, ...facts.map(state)]).slice(before);
    },
    appendLater: (fact) => {
      if (CATALOGUE[fact.id].severity !== 'trace') throw new RangeError(`${fact.id} must not wait`);
      if (waiting.length >= BUFFERED_FACTS_MAX) store(waiting);
      waiting.push(state(fact));
    },
    flush: () => {
      store(waiting);
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
        store(waiting);
      } finally {
        file.close();
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
