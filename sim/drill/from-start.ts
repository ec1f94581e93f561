/** Observations as they are seen by one who counts from a drill's beginning: a judge knows no other time. */
import { type Ms, ms } from '../../src/units/index.ts';
import type { Observation } from '../world/observation.ts';

export function fromStart(seen: Observation, startMs: Ms): Observation {
  if (startMs === 0) return seen;
  const atMs = ms(seen.atMs - startMs);
  if (seen.kind === 'answered') return { ...seen, atMs, heardAtMs: ms(seen.heardAtMs - startMs) };
  if (seen.kind === 'sent' && seen.sentAtMs !== null)
    return { ...seen, atMs, sentAtMs: ms(seen.sentAtMs - startMs) };
  return { ...seen, atMs };
}
