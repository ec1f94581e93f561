/**
 * All files of a record, for the one who writes it: the newest is added to, and a new one begins when that is
 * full. The oldest are taken out when there are too many; a sequence goes on over all of them.
 *
 * Invariant: what a start must know from before the oldest file is carried in that file.
 */
import { randomUUID } from 'node:crypto';
import { type CloudEvent, type EventId, typeOf } from '../events/index.ts';
import { messageOf } from '../text/message-of.ts';
import { notStored } from './database.ts';
import { type Durability, type EventFile, openEventFile } from './event-file.ts';
import { RecordError } from './record-error.ts';
import { restartEvents } from './restart.ts';
import { bytesOf, removeSegment, type Segment, segmentAt, segmentsIn } from './segments.ts';
import { openToRead, type StoredEvents } from './stored-events.ts';

/** So many files share the limit: the oldest that is taken out is a small part of the record. */
const FILES = 8;
/** A file's size is looked up when it may have grown by such a part of what it may hold. */
const LOOKS = 64;

interface Closed {
  readonly segment: Segment;
  /** null until it is read for the first time. */
  reads: StoredEvents | null;
}

export class EventFiles {
  readonly #folder: string;
  readonly #limitBytes: number;
  readonly #closed: Closed[];
  /** Taken out and yet to be removed; whether it was told that it could not be. */
  readonly #out = new Map<Segment, boolean>();
  readonly #removalFailed: (error: unknown) => void;
  #segment: Segment;
  #file: EventFile;
  /** Characters stored since the size was looked up. */
  #grown = Number.POSITIVE_INFINITY;

  /** Throws RecordError. */
  constructor(folder: string, limitBytes: number, removalFailed: (error: unknown) => void) {
    this.#folder = folder;
    this.#removalFailed = removalFailed;
    this.#limitBytes = limitBytes;
    const segments = segmentsIn(folder);
    this.#segment = segments.at(-1) ?? segmentAt(folder, 1);
    this.#closed = segments.slice(0, -1).map((segment) => ({ segment, reads: null }));
    this.#file = openEventFile(this.#segment, () => ({
      id: this.#newestClosed()?.id ?? randomUUID(),
      carried: restartEvents(this),
    }));
  }

  get id(): string {
    return this.#file.id;
  }

  /** Of the oldest event there is, or of the first to come. */
  firstSequence(): number {
    return (this.#closed[0]?.segment ?? this.#segment).first;
  }

  lastSequence(): number {
    return this.#file.lastSequence();
  }

  /**
   * Begins a new file where the newest is full. The sequence up to which events must then go, so that all
   * stay within the limit; 0 where none must.
   */
  makeRoom(last: number): number {
    const fileBytesMax = this.#limitBytes / FILES;
    if (this.#grown < fileBytesMax / LOOKS) return 0;
    if (last >= this.#segment.first && bytesOf(this.#segment) >= fileBytesMax) this.#beginNext(last + 1);
    this.#grown = 0;
    let bytes = fileBytesMax;
    const staying = [...this.#closed].reverse().filter(({ segment }) => {
      bytes += bytesOf(segment);
      return bytes <= this.#limitBytes;
    });
    return (staying.at(-1)?.segment ?? this.#segment).first - 1;
  }

  insert(events: readonly CloudEvent[], durability: Durability): void {
    this.#grown += this.#file.insert(events, durability);
  }

  /**
   * Takes the files out that hold nothing after a sequence. One that cannot be removed is out all the same:
   * that is tried again each time.
   */
  dropThrough(sequence: number): void {
    while (this.#closed[0] !== undefined && this.#closed[0].segment.first <= sequence) {
      const { segment, reads } = this.#closed[0];
      reads?.close();
      this.#closed.shift();
      this.#out.set(segment, false);
    }
    for (const [segment, told] of this.#out) {
      try {
        removeSegment(segment);
        this.#out.delete(segment);
      } catch (error) {
        if (!told) this.#removalFailed(notRemoved(segment, error));
        this.#out.set(segment, true);
      }
    }
  }

  after(sequence: number, limit: number): readonly CloudEvent[] {
    const found: CloudEvent[] = [];
    this.#closed.forEach((closed, index) => {
      const next = this.#closed[index + 1]?.segment ?? this.#segment;
      const mayHold = sequence < next.first - 1;
      if (mayHold) found.push(...readsOf(closed).after(sequence, limit - found.length));
    });
    return [...found, ...this.#file.after(sequence, limit - found.length)];
  }

  /** Events of some types before a sequence, the newest first. */
  readBack(ids: readonly EventId[], before: number, limit: number): readonly CloudEvent[] {
    const found = ids.flatMap((id) => this.#back(typeOf(id), before, limit));
    return found.sort((a, b) => b.sequence - a.sequence).slice(0, limit);
  }

  close(): void {
    for (const { reads } of this.#closed) reads?.close();
    this.#file.close();
  }

  #back(type: string, before: number, limit: number): readonly CloudEvent[] {
    const found: CloudEvent[] = [];
    const take = (ask: () => readonly CloudEvent[]): void => {
      if (found.length < limit) found.push(...ask());
    };
    // While the first file of a folder is being opened there is none yet.
    const newest = this.#file as EventFile | undefined;
    if (newest) take(() => newest.back(type, before, limit));
    for (const closed of [...this.#closed].reverse()) {
      take(() => readsOf(closed).back(type, before, limit));
    }
    const [oldest] = this.#closed;
    const carrier = oldest === undefined ? newest : readsOf(oldest);
    if (carrier) take(() => carrier.carriedBack(type, before, limit));
    return found;
  }

  /** The old file must be on disk before anything is in the new one, or a power cut leaves a gap. */
  #beginNext(first: number): void {
    const segment = segmentAt(this.#folder, first);
    const carried = restartEvents(this);
    let file: EventFile;
    try {
      this.#file.sync();
      file = openEventFile(segment, () => ({ id: this.id, carried }));
    } catch (error) {
      throw notStored(segment.path, error);
    }
    this.#file.close();
    this.#closed.push({ segment: this.#segment, reads: null });
    this.#segment = segment;
    this.#file = file;
  }

  #newestClosed(): StoredEvents | undefined {
    const closed = this.#closed.at(-1);
    return closed && readsOf(closed);
  }
}

function readsOf(closed: Closed): StoredEvents {
  closed.reads ??= openToRead(closed.segment);
  return closed.reads;
}

function notRemoved({ path }: Segment, error: unknown): RecordError {
  const message = `An old file of the record, ${path}, could not be removed (${messageOf(error)}): it holds more room than it should, and each event tries again.`;
  return new RecordError('unwritable', message, error);
}
