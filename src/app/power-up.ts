/** How a supervisor begins, by what is on record. */
import type { PowerUp } from '../mitigation/index.ts';
import {
  type EventRecord,
  type RestartKnowledge,
  restartKnowledge,
  type ThisProcess,
} from '../record/index.ts';
import type { Policy } from '../rig/index.ts';

const REASONS: Readonly<Record<RestartKnowledge['kind'], string>> = {
  empty: 'the record is new',
  orderly: 'the last stop was orderly and nothing stood',
  disorderly: 'the record shows no orderly, unmitigated stop: what happened meanwhile is unknown',
  lockedOut: 'the record shows a lock-out that nobody has reset',
};

/** What a supervisor knows that has nothing to know: the rig has only just been made. */
export const NO_PAST: PowerUp = { record: 'empty', tripAgesMs: [], tripCounted: false };

type Asked = Pick<EventRecord, 'lastSequence' | 'latest' | 'readBack'>;

/**
 * The record from a fresh start on, for power cuts of the same process: what went before befell another rig.
 * A process that starts asks the whole record; it cannot know what became of the equipment meanwhile.
 */
export function recordSince(record: Asked, sequence: number): Asked {
  const isLater = (event: { readonly sequence: number } | undefined): boolean =>
    (event?.sequence ?? 0) > sequence;
  return {
    lastSequence: () => Math.max(0, record.lastSequence() - sequence),
    readBack: (ids, before, limit) => record.readBack(ids, before, limit).filter(isLater),
    latest: (ids) => [record.latest(ids)].find(isLater),
  };
}

/**
 * `nowMs` is by the clock that the record's times are of. Who starts a process asks before anything of it
 * is on record; who starts a supervisor again in the same one says so, since bench time goes on there.
 */
export function powerUpFrom(
  record: Asked,
  { latchAfter }: Policy,
  nowMs: number,
  process: ThisProcess | null = null,
): PowerUp {
  const known = restartKnowledge(record, latchAfter, nowMs, process);
  if (known.kind === 'empty') return NO_PAST;
  return { record: known.kind, tripAgesMs: known.tripAgesMs, tripCounted: known.tripCounted };
}

/** The same in words. */
export function startReason({ record }: PowerUp): string {
  return REASONS[record];
}
