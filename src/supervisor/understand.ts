/** What words mean: raw registers and bits become answers here, and nowhere after. */
import type { Heard, PlantInputs } from '../belief/index.ts';
import type { Outcome, Timed } from '../poll/index.ts';
import type { SensorAnswer, SensorCodec } from '../sensor/index.ts';
import { inputsOf } from './field-io.ts';
import { modbusSensor, type SupervisorPlan } from './plan.ts';

/** One run of values for each request of a task, in order. */
export type Words = readonly ArrayLike<number>[];

export function inputsFrom(poll: Timed<Words>, plan: SupervisorPlan): Timed<PlantInputs> {
  return mapOutcome(poll, (words) => inputsIn(words[0] ?? [], plan.circuits.length));
}

const INPUTS_KNOWN = new WeakMap<ArrayLike<number>, PlantInputs>();

/** A host that knows an answer again hands on the same bits. */
function inputsIn(bits: ArrayLike<number>, circuits: number): PlantInputs {
  const known = INPUTS_KNOWN.get(bits);
  if (known !== undefined) return known;
  const inputs = inputsOf(bits, circuits);
  INPUTS_KNOWN.set(bits, inputs);
  return inputs;
}

export function heardFrom(poll: Timed<Words>, plan: SupervisorPlan, sensor: number): Timed<Heard> {
  const { codec } = modbusSensor(plan, sensor);
  return mapOutcome(poll, (words) => {
    const parts = codec.reads.map((block, index) => codec.decode(block, words[index] ?? []));
    return heardOf(Object.assign({}, ...parts) as SensorAnswer, codec);
  });
}

function heardOf(answer: SensorAnswer, codec: SensorCodec): Heard {
  const state = codec.stateOf(answer);
  return {
    state,
    gasPercentLfl: answer.gasPercentLfl ?? null,
    gasBit: answer.gasBit === true,
    // Where a profile has no such point, having measured at all is the only pass there is.
    selfTestPassed: answer.selfTestPassed ?? state === 'measuring',
    counter: answer.counter,
    serial: answer.serial,
  };
}

function mapOutcome<From, To>(poll: Timed<From>, map: (answer: From) => To): Timed<To> {
  const outcome: Outcome<To> =
    poll.outcome.kind === 'answered' ? { kind: 'answered', answer: map(poll.outcome.answer) } : poll.outcome;
  return { ...poll, outcome };
}
