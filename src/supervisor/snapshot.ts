/** The supervisor's side of the picture that the API shows. */
import { UNHEARD } from '../belief/index.ts';
import {
  becauseOf,
  hazardSentence,
  holdLeftMs,
  outputNames,
  type PhaseKind,
  readOutput,
} from '../mitigation/index.ts';
import type { Ms } from '../units/index.ts';
import type { SupervisorState } from './core.ts';
import type { SupervisorPlan } from './plan.ts';
import { situationOf } from './situation.ts';

export interface SupervisorPicture {
  state: PhaseKind;
  sinceMs: number;
  holdLeftMs: number | null;
  holdRunning: boolean;
  sensors: Record<string, SensorPicture>;
  commands: Record<string, { on: boolean; because: string[] }>;
}

interface SensorPicture {
  state: string;
  gas: number | null;
  ageMs: number | null;
  answering: boolean;
  hazards: { hazard: string; text: string }[];
}

export function supervisorSnapshot(plan: SupervisorPlan, state: SupervisorState, now: Ms): SupervisorPicture {
  const situation = situationOf(plan, state, now);
  const { phase, standing, commands } = state.mitigation;
  const hold = phase.kind === 'holding' || phase.kind === 'lockedOut' ? phase.hold : null;
  const sensors = plan.sensors.map((sensor, index) => {
    const seen = situation.sensors[index];
    const belief = state.beliefs[index] ?? UNHEARD;
    const heardAtMs = sensor.kind === 'contact' ? state.plant.last?.atMs : belief.lastGood?.atMs;
    const contactState = seen?.gasNow === true ? 'gas' : 'measuring';
    const says = sensor.kind === 'contact' ? contactState : (belief.lastState ?? 'unheard');
    const picture: SensorPicture = {
      state: heardAtMs === undefined && belief.lastState === null ? 'unheard' : says,
      gas: seen?.gasPercentLfl ?? null,
      ageMs: heardAtMs === undefined ? null : now - heardAtMs,
      answering: seen?.silentSinceMs === null,
      hazards: standing
        .filter((one) => one.subject === sensor.id)
        .map((one) => ({ hazard: one.hazard, text: hazardSentence(one, situation, plan.policy) })),
    };
    return [sensor.id, picture] as const;
  });
  const outputs = outputNames(plan.circuits).map((output) => {
    const on = readOutput(commands, output, plan.circuits);
    return [
      output,
      { on, because: becauseOf(state.mitigation, output, situation, plan.policy, now) },
    ] as const;
  });
  return {
    state: phase.kind,
    sinceMs: phase.sinceMs,
    holdLeftMs: hold === null ? null : holdLeftMs(hold, plan.policy.holdMs, now),
    holdRunning: hold !== null && hold.runningSinceMs !== null,
    sensors: Object.fromEntries(sensors),
    commands: Object.fromEntries(outputs),
  };
}
