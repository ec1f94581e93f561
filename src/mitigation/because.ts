/**
 * Why an output is on or off: a chain of facts that a person can read and check, most important first, and
 * last what would change it.
 */
import { formatDuration, formatGas, type Ms } from '../units/index.ts';
import { offForMs, STAGE_MS } from './commands.ts';
import { EFFECTS, HAZARDS, type Standing } from './hazards.ts';
import { holdLeftMs, mayRelease } from './hold.ts';
import { circuitIndex, type Output, readOutput } from './outputs.ts';
import { hazardSentence } from './sentences.ts';
import type { MitigationPolicy, Situation } from './situation.ts';
import type { MitigationState } from './state.ts';

/** More hazards than this in one chain no longer explain anything. */
const HAZARDS_TOLD_MAX = 4;

/**
 * The chain for one output as it is commanded now. The same sentences serve the event that tells of a change
 * and the page that is asked at any later time, so that both say the same.
 */
export function becauseOf(
  state: MitigationState,
  output: Output,
  situation: Situation,
  policy: MitigationPolicy,
  now: Ms,
): string[] {
  const on = readOutput(state.commands, output, policy.circuits);
  const tell = (standing: readonly Standing[]): string[] =>
    standing.slice(0, HAZARDS_TOLD_MAX).map((one) => hazardSentence(one, situation, policy));
  const call = callSentence(situation);
  if (output === 'alarm' || output === 'trouble') {
    const shown = state.standing.filter(({ hazard }) => HAZARDS[hazard].shows === output);
    return shown.length > 0 ? tell(shown) : [`nothing asks for ${output}`];
  }
  if (state.phase.kind === 'fire')
    return [...tell(state.standing.slice(0, 1)), 'at a fire everything is off'];
  if (output === 'fan' || output === 'damper') {
    const asking = state.standing.filter(({ hazard }) => EFFECTS[HAZARDS[hazard].effect].ventilate);
    const phase = phaseSentences(state, situation, policy, now);
    if (phase.length > 0 || asking.length > 0) return [...tell(asking), ...phase];
    return [call];
  }
  const stopping = state.standing.filter(({ hazard }) => EFFECTS[HAZARDS[hazard].effect].stop);
  const reasons = [...tell(stopping), ...phaseSentences(state, situation, policy, now)];
  if (reasons.length > 0 && !on) return reasons;
  return [call, ...waitingFor(state, output, on, situation, policy, now)];
}

function callSentence(situation: Situation): string {
  const calls = situation.plant.inputs?.calls;
  if (calls === undefined) return 'the calls are not known yet';
  const standing = (['cooling', 'heating', 'fan'] as const).filter((call) => calls[call]);
  return standing.length === 0 ? 'no call stands' : `a call for ${standing.join(' and ')} stands`;
}

/** What the phase itself adds: until when it lasts, what its hold still waits for. */
function phaseSentences(
  state: MitigationState,
  situation: Situation,
  policy: MitigationPolicy,
  now: Ms,
): string[] {
  const { phase } = state;
  switch (phase.kind) {
    case 'mitigating':
      return [
        `it lasts until ${formatDuration(policy.holdMs)} after the last sign of these, ` +
          `and until every sensor reads below ${formatGas(policy.clearBelow)}`,
      ];
    case 'holding': {
      const leftMs = holdLeftMs(phase.hold, policy.holdMs, now);
      if (leftMs > 0 && phase.hold.runningSinceMs === null) {
        return [`the hold waits for airflow with ${formatDuration(leftMs)} to run`];
      }
      if (leftMs > 0) return [`the hold has ${formatDuration(leftMs)} to run`];
      // A release that is due and has not come about could not be stored.
      if (mayRelease(phase.hold, situation, policy.holdMs, now))
        return ['the hold has passed; it waits until the record takes its end'];
      const waiting = situation.sensors
        .filter((sensor) => sensor.wellAtMs === null)
        .map((sensor) => sensor.id);
      if (waiting.length === 0 && phase.hold.runningSinceMs === null)
        return ['the hold has passed; it waits for airflow'];
      const whom = waiting.length > 0 ? waiting.join(', ') : 'a fresh reading of every sensor';
      return [`the hold has passed; it waits for ${whom} below ${formatGas(policy.clearBelow)}`];
    }
    case 'lockedOut':
    case 'starting':
    case 'running':
    case 'fire':
      return [];
  }
}

/** What an output without a hazard against it still waits for. */
function waitingFor(
  state: MitigationState,
  output: Output,
  on: boolean,
  situation: Situation,
  policy: MitigationPolicy,
  now: Ms,
): string[] {
  const calls = situation.plant.inputs?.calls;
  const wanted = output === 'heat' ? calls?.heating === true : calls?.cooling === true;
  if (on || !wanted) return [];
  // While a self-test is awaited that is said before; what is left of a start is to store it.
  if (state.phase.kind === 'starting') return ['it waits until the record takes the start'];
  if (output === 'heat' && !policy.heat) return ['this unit has no heat'];
  if (output === 'heat' && calls?.cooling === true) return ['cooling is served before heating'];
  if (situation.plant.inputs?.airflow !== true) return ['it waits for airflow'];
  if (output === 'heat') return ['it waits for the next poll'];
  const circuit = circuitIndex(output, policy.circuits);
  const compressor = state.compressors[circuit];
  if (compressor === undefined) throw new Error(`no circuit for ${output}`);
  const leftMs = policy.compressorMinOffMs - offForMs(compressor, circuit, situation, now);
  if (leftMs > 0) return [`it has ${formatDuration(leftMs)} of its minimum time off to run`];
  return [`compressors start ${formatDuration(STAGE_MS)} apart`];
}
