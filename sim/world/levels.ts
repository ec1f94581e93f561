/**
 * The levels at which true gas is told: fine where limits lie, coarser above, and every limit of the rig.
 * Between two levels a curve is as good as its ends.
 */
import type { Policy } from '../../src/rig/index.ts';

/** %LFL. Above the coarse step a curve of a whole charge would fill the record with a thousand rows. */
const FINE_STEP = 0.5;
const FINE_UP_TO = 50;
const COARSE_STEP = 5;
/** The published limit for a detector's setpoint: RD 552/2019 IF-16 3.1.4 (seen). */
const PUBLISHED_SETPOINT = 25;

/** Rising, from zero to pure vapour. */
export function levelsOf(policy: Policy, purePercentLfl: number): readonly number[] {
  const fine = Array.from({ length: FINE_UP_TO / FINE_STEP }, (_, index) => index * FINE_STEP);
  const coarse: number[] = [];
  for (let level = FINE_UP_TO; level < purePercentLfl; level += COARSE_STEP) coarse.push(level);
  const limits = [policy.setpoint, policy.clearBelow, PUBLISHED_SETPOINT];
  return [...new Set([...fine, ...coarse, ...limits])].sort((a, b) => a - b);
}

/** The pair of neighbouring levels that a value lies between; a level itself belongs to the pair above it. */
export function bracketOf(levels: readonly number[], value: number): readonly [number, number] {
  const above = levels.findIndex((level) => level > value);
  const highest = above < 0 ? Number.POSITIVE_INFINITY : (levels[above] ?? Number.POSITIVE_INFINITY);
  const lowest = levels[(above < 0 ? levels.length : above) - 1] ?? 0;
  return [lowest, highest];
}
