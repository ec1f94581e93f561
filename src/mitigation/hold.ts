/** The hold clock: runs while airflow is proven, and never forgets what has run. */
import type { Ms } from '../units/index.ts';
import type { Situation } from './situation.ts';
import type { HoldClock } from './state.ts';

/**
 * Air that is missing stops the clock and never sets it back: what was diluted stays diluted. It stops at the
 * last proof: whether the air went right after it or just before now, or nobody answered, is not known.
 */
export function runClock(hold: HoldClock, situation: Situation, now: Ms): HoldClock {
  if (airflowProven(situation)) return hold.runningSinceMs === null ? { ...hold, runningSinceMs: now } : hold;
  if (hold.runningSinceMs === null) return hold;
  const untilMs = situation.plant.airflowProvenAtMs ?? hold.runningSinceMs;
  return { ranMs: hold.ranMs + Math.max(0, untilMs - hold.runningSinceMs), runningSinceMs: null };
}

/** Moment at which the hold has run if airflow stays; Infinity while it waits for airflow. */
export function endsAtMs(hold: HoldClock, holdMs: Ms): number {
  if (hold.runningSinceMs === null) return Number.POSITIVE_INFINITY;
  return hold.runningSinceMs + holdMs - hold.ranMs;
}

/** The hold has run, and since it had, airflow was proven and every sensor heard to be well. */
export function mayRelease(hold: HoldClock, situation: Situation, holdMs: Ms, now: Ms): boolean {
  const endedAtMs = endsAtMs(hold, holdMs);
  const { airflowProvenAtMs } = situation.plant;
  if (now < endedAtMs || airflowProvenAtMs === null || airflowProvenAtMs < endedAtMs) return false;
  return situation.sensors.every((sensor) => sensor.wellAtMs !== null && sensor.wellAtMs >= endedAtMs);
}

/** Time the hold still has to run. */
export function holdLeftMs(hold: HoldClock, holdMs: Ms, now: Ms): number {
  const ranMs = hold.ranMs + (hold.runningSinceMs === null ? 0 : now - hold.runningSinceMs);
  return Math.max(0, holdMs - ranMs);
}

/** Proven is what the switch says while the field I/O is heard; an old reading proves nothing. */
export function airflowProven(situation: Situation): boolean {
  return situation.plant.heard && situation.plant.inputs?.airflow === true;
}
