/**
 * What can be done to a rig, as arbitraries of steps as a drill file writes them. Everywhere the plainest
 * comes first, because that is where shrinking goes.
 */
import fc from 'fast-check';
import type { Rig } from '../../src/rig/index.ts';
import { targetsOf } from '../drill/targets.ts';
import { FAULT_KINDS, FAULTS, type FaultKind } from '../faults/index.ts';
import { canHave, parametersOf } from './fault-parameters.ts';
import { spansOf, spanText } from './spans.ts';

/** A step without its `at`. */
export type Deed = Readonly<Record<string, unknown>>;

/** What a person or a mishap does as one thing: deeds, each so many ms after the first. */
export type Move = readonly (readonly [afterMs: number, deed: Deed])[];

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
  readonly call: fc.Arbitrary<Move>;
  /** A press, or a button held down. */
  readonly reset: fc.Arbitrary<Move>;
  /** A call for cooling that goes for a while. */
  readonly interruption: fc.Arbitrary<Move>;
  /** A sensor whose state stays as it is, and then gas at it, or another fault of it. */
  readonly contradiction: fc.Arbitrary<Move>;
  /** Gas at a sensor, and a hand on the reset before it is gone. */
  readonly resetInGas: fc.Arbitrary<Move>;
  readonly fire: fc.Arbitrary<Move>;
  /** Any of them. */
  readonly any: fc.Arbitrary<Move>;
}

export function deedsOf(rig: Rig): Deeds {
  const spans = spansOf(rig);
  const lasts = fc.constantFrom(...spans.filter((span) => span > 0)).map(spanText);
  const possible = possibleFaults(rig);
  const fault = ({ kind, part }: Possible): fc.Arbitrary<Move> =>
    fc
      .tuple(parametersOf(kind, rig, part), fc.option(lasts, { freq: 3 }), chanceOf(kind))
      .map(([parameters, time, chance]) =>
        once({
          fault: { in: part, kind, ...parameters, ...chance, ...(time === null ? {} : { lasts: time }) },
        }),
      );
  const release = fc
    .record({ at: fc.constantFrom('cabinet', 'room-low'), rate: fc.constantFrom(...RATES), lasts })
    .map((written) => once({ release: written }));
  const testGas = fc
    .record({
      at: fc.constantFrom(...rig.sensors.map(({ id }) => id)),
      level: fc.constantFrom(...levelsOf(rig)),
      lasts,
    })
    .map((written) => once({ testGas: written }));
  const cut = (to: string): fc.Arbitrary<Move> => lasts.map((time) => once({ power: { to, cut: time } }));
  const call = fc
    .tuple(fc.constantFrom('cooling', 'heating', 'fan'), fc.constantFrom('on', 'off'))
    .map(([name, on]) => once({ call: { [name]: on } }));
  const reset = fc
    .constantFrom(...PRESSES)
    .map((presses) =>
      Array.from({ length: presses }, (_, press) => [press * PRESSED_ANEW_MS, { serviceReset: {} }] as const),
    );
  const interruption = fc.constantFrom(...spans.filter((span) => span > 0)).map(
    (span): Move => [
      [0, { call: { cooling: 'off' } }],
      [span, { call: { cooling: 'on' } }],
    ],
  );
  const resetInGas = fc
    .tuple(testGasFor(rig, GAS_MS), fc.constantFrom(GAS_MS / 2, GAS_MS - PRESSED_ANEW_MS), reset)
    .map(
      ([gas, fromMs, presses]): Move => [
        ...gas,
        ...presses.map(([ms, deed]) => [fromMs + ms, deed] as const),
      ],
    );
  const contradiction = fc
    .constantFrom(...possible.filter(({ kind }) => kind === 'stuck-state'))
    .chain((stuck) => {
      const others = possible.filter(({ kind, part }) => part === stuck.part && kind !== stuck.kind);
      const gas = fc.constant(
        once({ testGas: { at: stuck.part, level: '40 %LFL', lasts: spanText(GAS_MS) } }),
      );
      return fc
        .oneof(gas, fc.constantFrom(...others).chain(fault))
        .map(
          (then): Move => [
            [0, { fault: { in: stuck.part, kind: stuck.kind } }],
            ...then.map(([ms, deed]) => [GAS_MS / 2 + ms, deed] as const),
          ],
        );
    });
  const fire = fc.constantFrom('on', 'off').map((on) => once({ fire: on }));
  const any = fc.oneof(
    { arbitrary: release, weight: 3 },
    { arbitrary: testGas, weight: 3 },
    { arbitrary: fc.constantFrom(...possible).chain(fault), weight: 6 },
    {
      arbitrary: fc.constantFrom('controller', 'rig', ...rig.sensors.map(({ id }) => id)).chain(cut),
      weight: 2,
    },
    { arbitrary: call, weight: 2 },
    { arbitrary: reset, weight: 1 },
    { arbitrary: fire, weight: 1 },
    { arbitrary: interruption, weight: 1 },
    { arbitrary: contradiction, weight: 1 },
    { arbitrary: resetInGas, weight: 1 },
  );
  return {
    spans,
    possible,
    release,
    testGas,
    cut,
    fault,
    call,
    reset,
    interruption,
    contradiction,
    resetInGas,
    fire,
    any,
  };
}

function testGasFor({ sensors }: Rig, lastsMs: number): fc.Arbitrary<Move> {
  return fc
    .constantFrom(...sensors.map(({ id }) => id))
    .map((at) => once({ testGas: { at, level: '40 %LFL', lasts: spanText(lastsMs) } }));
}

function once(deed: Deed): Move {
  return [[0, deed]];
}

/** A press lasts 3 s; pressed anew before that, the button stays down: for 3 s, 5 s and half a minute. */
const PRESSES = [1, 2, 15];
const PRESSED_ANEW_MS = 2000;
const GAS_MS = 60_000;
const RATES = ['10 g/s', '6 g/s', '2 g/s', '40 g/s'];

/** Well above, then a count below, at and above each level that means something. */
function levelsOf({ policy }: Rig): readonly string[] {
  const { setpoint, clearBelow } = policy;
  const around = [setpoint, clearBelow, PUBLISHED_LIMIT].flatMap((level) =>
    [-COUNT, 0, COUNT].map((by) => level + by),
  );
  return [40, 10, 100, ...around].map((level) => `${Math.round(level * 10) / 10} %LFL`);
}

/** A fault that strikes each request may also strike some of them. */
function chanceOf(kind: FaultKind): fc.Arbitrary<Deed> {
  if (FAULTS[kind].drawn === 'once') return fc.constant({});
  return fc.oneof(
    { arbitrary: fc.constant({}), weight: 3 },
    { arbitrary: fc.constantFrom({ probability: 0.5 }, { probability: 0.1 }), weight: 1 },
  );
}

function possibleFaults(rig: Rig): readonly Possible[] {
  return [...targetsOf(rig)].flatMap(([part, target]) =>
    FAULT_KINDS.filter((kind) => (FAULTS[kind].targets as readonly string[]).includes(target))
      .filter((kind) => canHave(kind, rig, part))
      .map((kind) => ({ kind, part })),
  );
}
