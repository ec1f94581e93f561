/**
 * What a record tells a supervisor that starts.
 *
 * Only a stop that was orderly, with nothing mitigated, lets it start as if nothing had been; anything else
 * is unknown, and unknown is never safe. Ages are by bench time within a process, where it may pause or go
 * faster; by the wall clock before it, because bench time begins anew with every process. Where that clock
 * was set back, a trip counts as if it were of now.
 */
import { type CloudEvent, COURSE, type EventId } from '../events/index.ts';

/** A record, asked backwards. */
export interface Past {
  /** 0 where there is no event. */
  lastSequence(): number;
  /** Events of some types before a sequence, the newest first. */
  readBack(ids: readonly EventId[], before: number, limit: number): readonly CloudEvent[];
  latest(ids: readonly EventId[]): CloudEvent | undefined;
}

export type RestartKnowledge =
  | { readonly kind: 'empty' }
  | {
      readonly kind: 'orderly' | 'disorderly' | 'lockedOut';
      /** Gas trips within the window and since the last service reset, the oldest first. */
      readonly tripAgesMs: readonly number[];
      /** The episode that it stopped in had counted its gas trip already. */
      readonly tripCounted: boolean;
    };

/** So many gas trips within so long lock the supervisor out. */
interface LatchAfter {
  readonly trips: number;
  readonly withinMs: number;
}

/** The process that asks, where it has been there for longer than the supervisor that starts. */
export interface ThisProcess {
  /** Of its first event, or one that it may write yet. */
  readonly fromSequence: number;
  readonly benchNowMs: number;
}

/** Far more gas trips than any latch counts. */
const TRIPS_MAX = 1000;
const PAGE = 500;

/**
 * Ask before this run appends anything: `empty` means that the record holds no event at all. A record with
 * events but without a supervisor in it is `disorderly`, since nobody says what the equipment went through.
 */
export function restartKnowledge(
  record: Past,
  latchAfter: LatchAfter | null,
  wallClockNowMs: number,
  process: ThisProcess | null = null,
): RestartKnowledge {
  if (record.lastSequence() === 0) return { kind: 'empty' };
  const kind = howLeft(record);
  const trips = record.readBack(['trip.counted'], Number.MAX_SAFE_INTEGER, TRIPS_MAX);
  const [newest] = trips;
  if (newest === undefined) return { kind, tripAgesMs: [], tripCounted: false };

  const oldest = trips.at(-1) ?? newest;
  const changes = changesSince(record, oldest.sequence);
  const resetAt = changes.find(isReset)?.sequence ?? 0;
  const tripAgesMs = trips
    .filter((trip) => trip.sequence > resetAt)
    .map((trip) => ageMs(trip, wallClockNowMs, process))
    .filter((age) => age <= (latchAfter?.withinMs ?? 0))
    .reverse();
  return {
    // The trip that latches may have come during a fire, whose end never came to be recorded.
    kind: latchAfter !== null && tripAgesMs.length >= latchAfter.trips ? 'lockedOut' : kind,
    tripAgesMs,
    tripCounted: !changes.some((change) => change.sequence > newest.sequence && isToRunning(change)),
  };
}

/**
 * The few events of which `restartKnowledge` makes the same as of all, in their order: how the supervisor was
 * left, the trips, and the changes that end what came before them.
 */
export function restartEvents(record: Pick<Past, 'readBack'>): readonly CloudEvent[] {
  const newestOf = (id: EventId): readonly CloudEvent[] => record.readBack([id], Number.MAX_SAFE_INTEGER, 1);
  const trips = record.readBack(['trip.counted'], Number.MAX_SAFE_INTEGER, TRIPS_MAX);
  const changes = changesSince(record, trips.at(-1)?.sequence ?? Number.MAX_SAFE_INTEGER);
  const ends = [changes.find(isReset), changes.find(isToRunning)].filter((change) => change !== undefined);
  const all = [...COURSE.flatMap(newestOf), ...trips, ...ends];
  const bySequence = new Map(all.map((event) => [event.sequence, event]));
  return [...bySequence.values()].sort((a, b) => a.sequence - b.sequence);
}

function howLeft(record: Pick<Past, 'latest'>): 'orderly' | 'disorderly' | 'lockedOut' {
  const last = record.latest(COURSE);
  if (last === undefined) return 'disorderly';
  if (field(last, 'unmitigated') === true) return 'orderly';
  const state = field(last, 'to') ?? field(last, 'state');
  if (state === 'lockedOut') return 'lockedOut';
  // A fire interrupts a lock-out without ending it: what it came from is in the change that led to it.
  const beforeFire = record.latest(['mitigation.changed']);
  return state === 'fire' && beforeFire !== undefined && field(beforeFire, 'from') === 'lockedOut'
    ? 'lockedOut'
    : 'disorderly';
}

function ageMs(event: CloudEvent, wallClockNowMs: number, process: ThisProcess | null): number {
  const isOwn = process !== null && event.sequence >= process.fromSequence;
  const age = isOwn ? process.benchNowMs - event.data.atMs : wallClockNowMs - Date.parse(event.time);
  return Math.max(0, age);
}

/** A lock-out ends only by a service reset; a fire only covers it. */
function isReset(change: CloudEvent): boolean {
  return field(change, 'from') === 'lockedOut' && field(change, 'to') !== 'fire';
}

function isToRunning(change: CloudEvent): boolean {
  return field(change, 'to') === 'running';
}

/** Changes of the mitigation after a sequence, the newest first. */
function changesSince(record: Pick<Past, 'readBack'>, sequence: number): readonly CloudEvent[] {
  const changes: CloudEvent[] = [];
  let before = Number.MAX_SAFE_INTEGER;
  for (;;) {
    const page = record.readBack(['mitigation.changed'], before, PAGE);
    const later = page.filter((change) => change.sequence > sequence);
    changes.push(...later);
    if (later.length < PAGE) return changes;
    before = later.at(-1)?.sequence ?? sequence;
  }
}

function field(event: CloudEvent, name: string): unknown {
  return event.data.fields[name];
}
