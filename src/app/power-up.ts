/** How a supervisor begins, by what is on record. */
import type { PowerUp } from '../mitigation/index.ts';
import { type RestartKnowledge, restartKnowledge } from '../record/index.ts';
import type { Policy } from '../rig/index.ts';

const REASONS: Readonly<Record<RestartKnowledge['kind'], string>> = {
  empty: 'the record is new',
  orderly: 'the last stop was orderly and nothing stood',
  disorderly: 'the record shows no orderly, unmitigated stop: what happened meanwhile is unknown',
  lockedOut: 'the record shows a lock-out that nobody has reset',
};

/** Ask before anything of this run is on record; `nowMs` is by the clock that the record's times are of. */
export function powerUpFrom(
  record: Parameters<typeof restartKnowledge>[0],
  { latchAfter }: Policy,
  nowMs: number,
): PowerUp {
  const known = restartKnowledge(record, latchAfter, nowMs);
  if (known.kind === 'empty') return { record: 'empty', tripAgesMs: [], tripCounted: false };
  return { record: known.kind, tripAgesMs: known.tripAgesMs, tripCounted: known.tripCounted };
}

/** The same in words. */
export function startReason({ record }: PowerUp): string {
  return REASONS[record];
}
