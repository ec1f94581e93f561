/**
 * Random fault sequences, on lines of each kind: a sound controller in lines and the built-in supervisor hold
 * every rule on each. A failure shrinks to the shortest sequence; LEAKBENCH_SEED replays it.
 */
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Drill } from '../../sim/drill/index.ts';
import { WIRE_FAULT_KINDS, type WireFaultKind } from '../../sim/faults/index.ts';
import { RULE_IDS } from '../../sim/judge/index.ts';
import { packageRoot } from '../../src/files/index.ts';
import { type Line, loadRig, type Rig } from '../../src/rig/index.ts';
import { type Ms, ms } from '../../src/units/index.ts';
import { stepFor } from '../helpers/demo.ts';
import { builtIn, inLines } from '../mutants/judged.ts';
import { inProcess, SOUND } from '../mutants/variant.ts';

const RUNS = 400;
const S = 1000;

const FILES = [
  'src/rig/tide-street.rig.yaml',
  'sim/drill/library/locks-at-first-gas.rig.yaml',
  'sim/drill/library/locks-at-third-gas.rig.yaml',
];

/** Modbus TCP as the rigs have it, RTU frames, and gateways whose time-out is shorter than the line's. */
const LINES: readonly Partial<Line>[] = [
  {},
  { listen: [{ kind: 'rtu+tcp', host: '127.0.0.1', port: 0 }] },
  ...[9600, 115_200].map((baud) => {
    return { pace: { baud, parity: 'even', stopBits: 1, timeoutMs: ms(200) } as const };
  }),
];

const RIGS = FILES.map(shortened).flatMap((rig) =>
  LINES.map((other) => ({ ...rig, lines: rig.lines.map((line) => ({ ...line, ...other })) })),
);

/** The same rig with waits of a minute, so that a short drill goes through many of them. */
function shortened(file: string): Rig {
  const loaded = loadRig(join(packageRoot(), file));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  const short = { holdMs: ms(60 * S), resumeWithinMs: ms(60 * S), compressorMinOffMs: ms(40 * S) };
  return { ...loaded.value, policy: { ...loaded.value.policy, ...short } };
}

const COILS = ['coil-a', 'coil-b'] as const;
const OF_A_SENSOR = [
  ...(['silent', 'self-failed', 'stuck', 'stuck-state'] as const),
  ...(['stuck-warm-up', 'frozen-counter', 'no-power', 'blind'] as const),
];
const coil = fc.constantFrom(...COILS);
const lasts = fc.integer({ min: 1, max: 90 }).map((seconds) => `${seconds} s`);

/** What a fault of the wire takes beside its kind. */
const OF_A_WIRE: Readonly<Partial<Record<WireFaultKind, fc.Arbitrary<object>>>> = {
  exception: fc.record({ code: fc.integer({ min: 1, max: 11 }) }),
  'same-address': fc.record({ heard: fc.constantFrom('garbled', 'both') }),
  dribble: fc.record({ every: fc.constantFrom('2 ms', '20 ms', '100 ms') }),
  // Around the time-outs of a gateway and of a line: 200 and 300 ms.
  late: fc.record({ by: fc.constantFrom('30 ms', '190 ms', '250 ms', '299 ms', '600 ms') }),
};

const wireFault = fc
  .constantFrom(...WIRE_FAULT_KINDS)
  .chain((kind) =>
    fc
      .tuple(
        fc.record({ in: fc.constantFrom(...COILS, 'fieldIo'), kind: fc.constant(kind), lasts }),
        OF_A_WIRE[kind] ?? fc.constant({}),
        fc.constantFrom({}, {}, { probability: 0.5 }, { probability: 0.1 }),
      )
      .map((parts) => ({ fault: Object.assign({}, ...parts) })),
  );

const written: fc.Arbitrary<unknown> = fc.oneof(
  { arbitrary: wireFault, weight: 4 },
  fc.record({
    testGas: fc.record({
      at: fc.constantFrom(...COILS, 'grille'),
      level: fc.constantFrom(10, 17, 18, 19, 20, 30, 60).map((level) => `${level} %LFL`),
      lasts,
    }),
  }),
  fc.record({
    release: fc.record({
      at: fc.constantFrom('cabinet', 'room-low'),
      rate: fc.constantFrom('1 g/s', '10 g/s', '40 g/s'),
      lasts,
    }),
  }),
  fc.record({ fault: fc.record({ in: coil, kind: fc.constantFrom(...OF_A_SENSOR), lasts }) }),
  fc.record({
    fault: fc.record({ in: coil, kind: fc.constant('silent'), lasts, probability: fc.constant(0.5) }),
  }),
  fc.record({
    fault: fc.record({
      in: coil,
      kind: fc.constant('reboots'),
      every: fc.constantFrom('5 s', '8 s', '20 s'),
      lasts,
    }),
  }),
  fc.record({
    fault: fc.record({
      in: fc.constant('grille'),
      kind: fc.constantFrom('wire-open', 'wire-short', 'no-power'),
      lasts,
    }),
  }),
  lasts.map((time) => ({ fault: { in: 'coil-a', kind: 'swapped', with: 'coil-b', lasts: time } })),
  lasts.map((time) => ({ fault: { in: 'fan', kind: 'fan-dead', lasts: time } })),
  lasts.map((time) => ({ fault: { in: 'airflow', kind: 'airflow-switch-stuck', lasts: time } })),
  lasts.map((time) => ({ fault: { in: 'fieldIo', kind: 'io-silent', lasts: time } })),
  fc.record({ power: fc.record({ to: fc.constantFrom('controller', 'rig', ...COILS), cut: lasts }) }),
  fc.constant({ serviceReset: {} }),
  fc.constantFrom({ fire: 'on' }, { fire: 'off' }),
  fc
    .tuple(fc.constantFrom('cooling', 'heating', 'fan'), fc.constantFrom('on', 'off', 'on'))
    .map(([call, on]) => ({ call: { [call]: on } })),
);

/** Whole seconds meet the polls, others fall between them. */
const atMs = fc
  .oneof(
    fc.nat(400).map((second) => second * S),
    fc.nat(400 * S),
  )
  .map(ms);

const drills: fc.Arbitrary<{ readonly drill: Drill; readonly said: readonly unknown[] }> = fc
  .record({
    rig: fc.constantFrom(...RIGS),
    calls: fc.record({ cooling: fc.boolean(), heating: fc.boolean(), fan: fc.constant(false) }),
    steps: fc.array(fc.tuple(atMs, written), { minLength: 1, maxLength: 12 }),
  })
  .map(({ rig, calls, steps }) => ({
    drill: drillOf(rig, calls, steps),
    said: [rig.name, rig.lines, calls, ...steps],
  }));

function drillOf(rig: Rig, calls: Drill['calls'], steps: readonly (readonly [Ms, unknown])[]): Drill {
  return {
    ...{ name: 'random', why: '', file: '', text: '', rigFile: '' },
    ...{ rig, calls, rules: RULE_IDS, expectations: [], lesson: null },
    lengthMs: ms(600 * S),
    steps: steps
      .map(([at, step]) => ({ atMs: at, step: stepFor(rig, step) }))
      .sort((one, other) => one.atMs - other.atMs),
  };
}

test('the built-in supervisor holds every rule', () => {
  const holds = ({ drill }: { readonly drill: Drill }): void => {
    expect(builtIn(drill).broken).toEqual([]);
  };
  fc.assert(fc.property(drills, holds), { numRuns: RUNS });
}, 1_800_000);

test('so does a sound controller that is spoken to in lines', async () => {
  const holds = async ({ drill }: { readonly drill: Drill }): Promise<void> => {
    expect((await inLines(drill, inProcess(SOUND))).broken).toEqual([]);
  };
  await fc.assert(fc.asyncProperty(drills, holds), { numRuns: RUNS });
}, 1_800_000);
