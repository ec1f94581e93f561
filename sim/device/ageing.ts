/**
 * What the years do to a reading: a zero that wanders and a span that shrinks or grows, both in proportion to
 * the age. How much a year is the rig's to say: no allowance was found in any text read.
 */
import { type ModbusSensor, timeConstantMs } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';

/** reading = gain · gas + zero. */
export interface Drifted {
  readonly gain: number;
  readonly zeroPercentLfl: number;
}

const DAYS_PER_YEAR = 365.25;
const MS_PER_DAY = 86_400_000;
const UNCHANGED: Drifted = { gain: 1, zeroPercentLfl: 0 };

/** A sensor that was not yet made has not aged; one that has lost all its span sees nothing, not less. */
export function driftedBy({ driftPerYear }: ModbusSensor, ageDays: number): Drifted {
  if (driftPerYear === null) return UNCHANGED;
  const years = Math.max(0, ageDays) / DAYS_PER_YEAR;
  return {
    gain: Math.max(0, 1 + driftPerYear.spanShare * years),
    zeroPercentLfl: driftPerYear.zeroPercentLfl * years,
  };
}

/**
 * Of a sensor that had so many days behind it when the bench began, at moment zero. The bench adds whole
 * days: seconds of age would only carry gas at the setpoint a rounding below it.
 */
export function ageDaysAt(startAgeDays: number, now: Ms): number {
  return startAgeDays + Math.floor(now / MS_PER_DAY);
}

/**
 * From a step to so much gas until the reading comes to the setpoint; Infinity where its age lets it come to
 * less. A reading in whole counts comes to it at the same moment, because both are cut alike.
 */
export function reportsAfterMs(
  plan: ModbusSensor,
  stepPercentLfl: number,
  setpoint: number,
  ageDays: number,
): number {
  const { gain, zeroPercentLfl } = driftedBy(plan, ageDays);
  if (zeroPercentLfl >= setpoint) return 0;
  const wanted = (setpoint - zeroPercentLfl) / (gain * stepPercentLfl);
  if (wanted >= 1) return Number.POSITIVE_INFINITY;
  return plan.deadTimeMs - timeConstantMs(plan) * Math.log1p(-wanted);
}
