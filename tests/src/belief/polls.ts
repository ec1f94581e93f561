/** Polls of one sensor, as short as a test wants to write them. */
import {
  type BeliefLimits,
  findingsOf,
  foldOutcome,
  type Heard,
  type SensorBelief,
  UNHEARD,
} from '../../../src/belief/index.ts';
import type { Outcome, Timed } from '../../../src/poll/index.ts';
import { ms, percentLfl } from '../../../src/units/index.ts';

export const LIMITS: BeliefLimits = {
  setpoint: percentLfl(20),
  clearBelow: percentLfl(18),
  silentAfterMs: ms(5000),
  unheardAfterMs: ms(11_000),
};

/** The serial that the plan names. */
export const PLANNED = '240811';

const SOUND: Heard = {
  state: 'measuring',
  gasPercentLfl: 0,
  gasBit: false,
  selfTestPassed: true,
  counter: 0,
  serial: PLANNED,
};

export type Said = Partial<Heard> | 'silent' | 'refused' | 'mismatched';

/** How long a poll takes, asked to done, in these tests. */
const TAKES_MS = 20;

/** A poll asked at `askedAtMs`; the counter moves with time unless the answer says another. */
export function poll(askedAtMs: number, said: Said): Timed<Heard> {
  const counter = Math.floor(askedAtMs / 1000);
  const outcome: Outcome<Heard> =
    typeof said === 'object'
      ? { kind: 'answered', answer: { ...SOUND, counter, ...said } }
      : BAD_OUTCOMES[said];
  return { askedAtMs: ms(askedAtMs), doneAtMs: ms(askedAtMs + TAKES_MS), outcome };
}

const BAD_OUTCOMES: Readonly<Record<'silent' | 'refused' | 'mismatched', Outcome<Heard>>> = {
  silent: { kind: 'silent' },
  refused: { kind: 'refused', exception: 0x0b },
  mismatched: { kind: 'mismatched', field: 'length' },
};

/** Belief after polls a second apart, from time zero on. */
export function beliefOf(...said: readonly Said[]): SensorBelief {
  return said.reduce<SensorBelief>(
    (belief, one, index) => foldOutcome(belief, poll(index * 1000, one), LIMITS),
    UNHEARD,
  );
}

/** Findings right after such polls. */
export function found(...said: readonly Said[]): readonly string[] {
  const endMs = ms((said.length - 1) * 1000 + TAKES_MS);
  return findingsOf(beliefOf(...said), LIMITS, PLANNED, endMs);
}

export function times<Value>(count: number, value: Value): readonly Value[] {
  return Array.from({ length: count }, () => value);
}
