/** Until when a supervisor that gets the same answers again does the same again. */
import type { PlantBelief, SensorBelief } from '../belief/index.ts';
import { steadyUntilMs } from '../mitigation/index.ts';
import type { LineState } from '../poll/index.ts';
import type { Ms } from '../units/index.ts';
import { isWriteDue, type SupervisorState } from './core.ts';
import type { SupervisorPlan } from './plan.ts';

/**
 * -Infinity where it is in the middle of a cycle, or anything has not been heard in the one that began, and
 * ended, at `now`.
 */
export function calmUntilMs(plan: SupervisorPlan, state: SupervisorState, now: Ms): number {
  const { beliefs, plant, lines, mitigation } = state;
  const isHeard = plan.sensors.every((sensor, index) => {
    const belief = beliefs[index];
    return sensor.kind === 'contact' || (belief !== undefined && isFresh(belief, now));
  });
  const inputs = plant.last?.atMs === now ? plant.last.inputs : null;
  const isDone = lines.every((line) => hasPolled(line, now)) && state.taken && !isWriteDue(plan, state);
  if (!isHeard || !isDone || inputs === null) return Number.NEGATIVE_INFINITY;
  return steadyUntilMs(mitigation, inputs, plan.policy);
}

function isFresh({ unansweredSinceMs, lastGood, counterMovedAtMs }: SensorBelief, now: Ms): boolean {
  if (unansweredSinceMs !== null || lastGood?.atMs !== now) return false;
  return lastGood.heard.counter === undefined || counterMovedAtMs === now;
}

function hasPolled({ cycleStartMs, queue, spare, out }: LineState, now: Ms): boolean {
  return cycleStartMs === now && queue.length + spare.length === 0 && out === null;
}

/** As if its lines had gone round for so long: what they are about to hear makes everything fresh. */
export function goneRound(state: SupervisorState, byMs: number): SupervisorState {
  const later = (atMs: Ms): Ms => (atMs + byMs) as Ms;
  const lines = state.lines.map((line) => ({ ...line, cycleStartMs: later(line.cycleStartMs) }));
  const beliefs = state.beliefs.map((belief) => {
    const { lastGood, counterMovedAtMs } = belief;
    if (lastGood === null) return belief;
    const movedAtMs = counterMovedAtMs === null ? null : later(counterMovedAtMs);
    return { ...belief, lastGood: { ...lastGood, atMs: later(lastGood.atMs) }, counterMovedAtMs: movedAtMs };
  });
  return { ...state, lines, beliefs, plant: plantLater(state.plant, later) };
}

function plantLater(plant: PlantBelief, later: (atMs: Ms) => Ms): PlantBelief {
  const { last, airflowProvenAtMs } = plant;
  if (last === null) return plant;
  const provenAtMs = last.inputs.airflow ? later(last.atMs) : airflowProvenAtMs;
  return { ...plant, last: { ...last, atMs: later(last.atMs) }, airflowProvenAtMs: provenAtMs };
}
