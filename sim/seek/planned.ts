/** A random drill before it is run, as plain data: how long, what calls, what is done when. */
import type { Drill } from '../drill/drill.ts';
import type { Deed } from './moves.ts';

export interface PlannedStep {
  readonly atMs: number;
  readonly deed: Deed;
}

export interface Plan {
  readonly lengthMs: number;
  readonly calls: Drill['calls'];
  /** In order of time. */
  readonly steps: readonly PlannedStep[];
}

/** What would come after the end is left out. */
export function inOrder(steps: readonly PlannedStep[], lengthMs: number): readonly PlannedStep[] {
  return steps.filter(({ atMs }) => atMs <= lengthMs).toSorted((one, other) => one.atMs - other.atMs);
}
