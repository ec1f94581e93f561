import type { Outflow } from '../../../sim/gas/index.ts';
import type { Ms } from '../../../src/units/index.ts';

const MS_PER_S = 1000;

/** Kilograms that have come out by a moment. */
export function releasedBy({ kgPerS, fallsPerS = 0, fromMs, untilMs }: Outflow, now: Ms): number {
  const sinceMs = Math.min(Math.max(now, fromMs), untilMs) - fromMs;
  if (fallsPerS > 0) return (kgPerS * -Math.expm1((-fallsPerS * sinceMs) / MS_PER_S)) / fallsPerS;
  return (kgPerS * sinceMs) / MS_PER_S;
}
