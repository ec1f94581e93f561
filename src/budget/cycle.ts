/** Bus time of one cycle of a line: all answer, some are known to be silent, some fall silent in it. */
import { busyMs, type LineTurns } from './line-turns.ts';
import { costsOf, owedMs, spareEndMs } from './poll-wait.ts';

export interface CycleTimes {
  /** How many silent ones the other two figures count: no more than the line has sensors. */
  readonly silent: number;
  readonly bestMs: number;
  /** Known to be silent: asked once, in spare time, and not for the others to wait for. */
  readonly typicalMs: number;
  /** Fallen silent in this very cycle: each costs its time-out, then its retries in spare time. */
  readonly worstMs: number;
}

export function cycleOf(turns: LineTurns, silent: number): CycleTimes {
  const count = Math.min(silent, turns.sensors.length);
  const costs = costsOf(turns);
  return {
    silent: count,
    bestMs: busyMs(turns),
    typicalMs: spareEndMs(owedMs(count, 0, costs), count, costs),
    worstMs: spareEndMs(owedMs(0, count, costs), count * costs.retries, costs),
  };
}
