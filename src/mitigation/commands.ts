/**
 * Commands: what the phase and the hazards allow of what the calls ask for.
 *
 * Start order: fan, airflow proven, first compressor, then one more every STAGE_MS. A compressor stays off
 * for `compressorMinOff`. Where cooling and heating call at once, cooling is served; heat that is on already
 * goes on until a compressor has taken over, so that a call is never dropped in between.
 */
import type { Ms } from '../units/index.ts';
import type { Effects } from './assess.ts';
import { airflowProven } from './hold.ts';
import type { MitigationPolicy, Situation } from './situation.ts';
import type { Commands, CompressorMemory, MitigationState } from './state.ts';

/** Two compressors never start within this time of one another (common practice, no source). */
export const STAGE_MS = 10_000;

export interface Commanded {
  readonly commands: Commands;
  readonly compressors: readonly CompressorMemory[];
}

/**
 * Commands are worked out anew in every step from phase, effects and calls. The only memory is when each
 * compressor was switched last; nothing is left over from a state that has ended.
 */
export function commandsFor(
  state: MitigationState,
  effects: Effects,
  situation: Situation,
  policy: MitigationPolicy,
  now: Ms,
): Commanded {
  const calls = situation.plant.inputs?.calls;
  const keepsAir = state.phase.kind === 'mitigating' || state.phase.kind === 'holding';
  const stopped = effects.stop || state.phase.kind !== 'running';
  const called = calls?.cooling === true || calls?.heating === true || calls?.fan === true;
  const fan = !effects.everythingOff && (keepsAir || effects.ventilate || called);

  const cool = calls?.cooling === true && !stopped;
  const compressors = stage(state.compressors, cool, situation, policy, now);
  const heating = policy.heat && calls?.heating === true && !stopped;
  const heat = heating && mayHeat(state, calls.cooling, situation);
  return {
    compressors,
    commands: {
      fan,
      // No fan against closed dampers.
      damper: fan,
      heat,
      alarm: effects.alarm,
      trouble: effects.trouble,
      compressors: compressors.map((compressor) => compressor.on),
    },
  };
}

function mayHeat(state: MitigationState, cooling: boolean, situation: Situation): boolean {
  if (cooling) return state.commands.heat && !state.compressors.some((one) => one.on);
  return state.commands.heat || airflowProven(situation);
}

/** Stops all at once, starts one at a time. */
function stage(
  before: readonly CompressorMemory[],
  cool: boolean,
  situation: Situation,
  policy: MitigationPolicy,
  now: Ms,
): readonly CompressorMemory[] {
  if (!cool) return before.some((one) => one.on) ? before.map((one) => switched(one, false, now)) : before;
  if (!airflowProven(situation)) return before;
  const lastStartMs = Math.max(...before.map((one) => (one.on ? one.sinceMs : Number.NEGATIVE_INFINITY)));
  if (now - lastStartMs < STAGE_MS) return before;
  const ready = before.findIndex(
    (one, circuit) => !one.on && offForMs(one, circuit, situation, now) >= policy.compressorMinOffMs,
  );
  return before.map((one, circuit) => (circuit === ready ? switched(one, true, now) : one));
}

/** Time off counts from when the field I/O has taken the command: one that was lost switched nothing. */
export function offForMs(one: CompressorMemory, circuit: number, situation: Situation, now: Ms): number {
  if (one.sinceMs === Number.NEGATIVE_INFINITY) return Number.POSITIVE_INFINITY;
  return now - Math.max(one.sinceMs, situation.plant.compressorOffSinceMs[circuit] ?? now);
}

function switched(compressor: CompressorMemory, on: boolean, now: Ms): CompressorMemory {
  return compressor.on === on ? compressor : { on, sinceMs: now };
}
