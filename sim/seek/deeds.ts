/**
 * What can be done to a rig, as arbitraries of steps as a drill file writes them. Everywhere the plainest
 * comes first, because that is where shrinking goes.
 */
import fc from 'fast-check';
import type { Rig } from '../../src/rig/index.ts';
import { targetsOf } from '../drill/targets.ts';
import { FAULT_KINDS, FAULTS, type FaultKind } from '../faults/index.ts';
import { canHave, parametersOf } from './fault-parameters.ts';
import { type Deed, followed, type Move, once } from './moves.ts';
import { spansOf, spanText } from './spans.ts';

/** A fault that this rig can have: its kind and the part. */
export interface Possible {
  readonly kind: FaultKind;
  readonly part: string;
}

/** One count of the reference sensor's register, %LFL. */
const COUNT = 0.1;
const PUBLISHED_LIMIT = 25;

export interface Deeds {
  readonly spans: readonly number[];
  readonly possible: readonly Possible[];
  readonly release: fc.Arbitrary<Move>;
  readonly testGas: fc.Arbitrary<Move>;
  readonly cut: (to: string) => fc.Arbitrary<Move>;
  readonly fault: (fault: Possible) => fc.Arbitrary<Move>;
  /** One that stands to the end. */
  readonly lastingFault: (fault: Possible) => fc.Arbitrary<Move>;
  /** What strikes a request now and then, for good: never for long enough to be a reason to stop. */
  readonly slight: fc.Arbitrary<Move>;
  readonly call: fc.Arbitrary<Move>;
  /** A press, or a button held down. */
  readonly reset: fc.Arbitrary<Move>;
  /** A call for cooling that goes for a while. */
  readonly interruption: fc.Arbitrary<Move>;
  /**
   * A sensor whose state stays as it is, and then gas at it, or another fault of it; anything where no sensor
   * says a state.
   */
  readonly contradiction: fc.Arbitrary<Move>;
  /** Gas at a sensor, and a hand on the reset while it stands or as it goes. */
  readonly resetInGas: fc.Arbitrary<Move>;
  /** Gas at a sensor, and the controller without power before the hold after it has passed. */
  readonly cutInEpisode: fc.Arbitrary<Move>;
  readonly fire: fc.Arbitrary<Move>;
  /** Any of them. */
  readonly any: fc.Arbitrary<Move>;
}

type Plain = Omit<Deeds, 'interruption' | 'contradiction' | 'resetInGas' | 'cutInEpisode' | 'any'>;

export function deedsOf(rig: Rig): Deeds {
  const plain = plainOf(rig);
  const { release, testGas, possible, fault, cut, call, reset, fire } = plain;
  const parts = fc.constantFrom('controller', 'rig', ...rig.sensors.map(({ id }) => id));
  const alone = fc.oneof(
    { arbitrary: release, weight: 3 },
    { arbitrary: testGas, weight: 3 },
    { arbitrary: fc.constantFrom(...possible).chain(fault), weight: 6 },
    { arbitrary: parts.chain(cut), weight: 2 },
    { arbitrary: call, weight: 2 },
    { arbitrary: reset, weight: 1 },
    { arbitrary: fire, weight: 1 },
  );
  const together = togetherOf(rig, plain, alone);
  return {
    ...plain,
    ...together,
    any: fc.oneof(
      { arbitrary: alone, weight: 4 * Object.keys(together).length },
      ...Object.values(together).map((arbitrary) => ({ arbitrary, weight: 1 })),
    ),
  };
}

function plainOf(rig: Rig): Plain {
  const spans = spansOf(rig);
  const lasts = fc.constantFrom(...spans.filter((span) => span > 0)).map(spanText);
  const sensors = rig.sensors.map(({ id }) => id);
  const possible = possibleFaults(rig);
  const seldom = possible.filter(({ kind }) => FAULTS[kind].drawn === 'each request');
  return {
    spans,
    possible,
    release: fc
      .record({ at: fc.constantFrom('cabinet', 'room-low'), rate: fc.constantFrom(...RATES), lasts })
      .map((written) => once({ release: written })),
    testGas: fc
      .record({ at: fc.constantFrom(...sensors), level: fc.constantFrom(...levelsOf(rig)), lasts })
      .map((written) => once({ testGas: written })),
    cut: (to) => lasts.map((time) => once({ power: { to, cut: time } })),
    fault: faultWith(rig, fc.option(lasts, { freq: 3 })),
    lastingFault: faultWith(rig, fc.constant(null)),
    slight: fc
      .constantFrom(...seldom)
      .chain(({ kind, part }) =>
        parametersOf(kind, rig, part).map((parameters) =>
          once({ fault: { in: part, kind, ...parameters, probability: SELDOM } }),
        ),
      ),
    call: fc
      .tuple(fc.constantFrom('cooling', 'heating', 'fan'), fc.constantFrom('on', 'off'))
      .map(([name, on]) => once({ call: { [name]: on } })),
    reset: fc
      .constantFrom(...PRESSES)
      .map((presses) =>
        Array.from(
          { length: presses },
          (_, press) => [press * PRESSED_ANEW_MS, { serviceReset: {} }] as const,
        ),
      ),
    fire: fc.constantFrom('on', 'off').map((on) => once({ fire: on })),
  };
}

function faultWith(rig: Rig, lasts: fc.Arbitrary<string | null>): Plain['fault'] {
  return ({ kind, part }) =>
    fc.tuple(parametersOf(kind, rig, part), lasts, chanceOf(kind)).map(([parameters, time, chance]) =>
      once({
        fault: { in: part, kind, ...parameters, ...chance, ...(time === null ? {} : { lasts: time }) },
      }),
    );
}

/** Coincidences: each half comes by chance too, but hardly ever the two at their moment. */
function togetherOf(
  rig: Rig,
  { spans, possible, fault, cut, reset }: Plain,
  alone: fc.Arbitrary<Move>,
): Pick<Deeds, 'interruption' | 'contradiction' | 'resetInGas' | 'cutInEpisode'> {
  const gas = fc.constantFrom(...rig.sensors.map(({ id }) => id)).map(gasAt);
  const afterGas = fc
    .constantFrom(...spans.filter((span) => span < rig.policy.holdMs))
    .map((span) => GAS_MS + span);
  const stuck = possible.filter(({ kind }) => kind === 'stuck-state');
  const contradicted = ({ kind, part }: Possible): fc.Arbitrary<Move> => {
    const others = possible.filter((other) => other.part === part && other.kind !== kind);
    return followed(
      fc.constant(once({ fault: { in: part, kind } })),
      fc.constant(GAS_MS / 2),
      fc.oneof(fc.constant(gasAt(part)), fc.constantFrom(...others).chain(fault)),
    );
  };
  return {
    interruption: followed(
      fc.constant(once({ call: { cooling: 'off' } })),
      fc.constantFrom(...spans.filter((span) => span > 0)),
      fc.constant(once({ call: { cooling: 'on' } })),
    ),
    contradiction: stuck.length === 0 ? alone : fc.constantFrom(...stuck).chain(contradicted),
    resetInGas: followed(gas, fc.constantFrom(GAS_MS, GAS_MS / 2, GAS_MS - PRESSED_ANEW_MS), reset),
    cutInEpisode: followed(
      gas,
      fc.oneof(fc.constantFrom(GAS_MS / 2, GAS_MS - PRESSED_ANEW_MS), afterGas),
      cut('controller'),
    ),
  };
}

function gasAt(sensor: string): Move {
  return once({ testGas: { at: sensor, level: '40 %LFL', lasts: spanText(GAS_MS) } });
}

/** A press lasts 3 s; pressed anew before that, the button stays down: for 3 s, 5 s and half a minute. */
const PRESSES = [1, 2, 15];
const PRESSED_ANEW_MS = 2000;
const GAS_MS = 60_000;
const SELDOM = 0.1;
const RATES = ['10 g/s', '6 g/s', '2 g/s', '40 g/s'];

/** Well above, then a count below, at and above each level that means something. */
function levelsOf({ policy }: Rig): readonly string[] {
  const { setpoint, clearBelow } = policy;
  const around = [setpoint, clearBelow, PUBLISHED_LIMIT].flatMap((level) =>
    [-COUNT, 0, COUNT].map((by) => level + by),
  );
  const levels = [40, 10, 100, ...around].map((level) => Math.round(level * 10) / 10);
  // Below a setpoint of less than a count there is no gas to apply.
  return levels.filter((level) => level > 0).map((level) => `${level} %LFL`);
}

/** A fault that strikes each request may also strike some of them. */
function chanceOf(kind: FaultKind): fc.Arbitrary<Deed> {
  if (FAULTS[kind].drawn === 'once') return fc.constant({});
  return fc.oneof(
    { arbitrary: fc.constant({}), weight: 3 },
    { arbitrary: fc.constantFrom({ probability: 0.5 }, { probability: SELDOM }), weight: 1 },
  );
}

function possibleFaults(rig: Rig): readonly Possible[] {
  return [...targetsOf(rig)].flatMap(([part, target]) =>
    FAULT_KINDS.filter((kind) => (FAULTS[kind].targets as readonly string[]).includes(target))
      .filter((kind) => canHave(kind, rig, part))
      .map((kind) => ({ kind, part })),
  );
}
