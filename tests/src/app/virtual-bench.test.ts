/**
 * The whole ring in virtual time on the demo rig. The times of the three releases were worked out apart from
 * this project, for a well-mixed cabinet and room (computed); the bench must come within 2 s of them.
 */
import { describe, expect, test } from 'vitest';
import { VirtualBench } from '../../../src/app/virtual-bench.ts';
import type { Fact } from '../../../src/events/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';
import { type Change, SignalRecorder } from '../../helpers/signal-recorder.ts';

const RIG = demoRig();
const S = 1000;
const LEAK_AT = 30 * S;

interface Run {
  readonly facts: readonly Fact[];
  readonly recorder: SignalRecorder;
  readonly bench: VirtualBench;
}

type Timed = readonly [atMs: number, step: unknown];

function run(steps: readonly Timed[], untilMs: number): Run {
  const facts: Fact[] = [];
  const recorder = new SignalRecorder();
  const tell = (told: readonly Fact[]): void => {
    facts.push(...told);
  };
  const bench = new VirtualBench(RIG, { seed: 1, observe: recorder.observe, tell });
  for (const [atMs, step] of steps) {
    bench.runUntil(ms(atMs));
    expect(bench.apply(stepFor(RIG, step))).toBeNull();
  }
  bench.runUntil(ms(untilMs));
  return { facts, recorder, bench };
}

const leak = (release: object): Timed => [LEAK_AT, { release: { at: 'cabinet', ...release } }];
const cooling: Timed = [LEAK_AT + 20 * S, { call: { cooling: 'on' } }];

/** Seconds after the leak began at which mitigation went to a state. */
function wentTo(facts: readonly Fact[], to: string): number[] {
  return facts.flatMap((fact) =>
    fact.id === 'mitigation.changed' && fact.fields.to === to ? [(fact.atMs - LEAK_AT) / S] : [],
  );
}

/** Seconds after the leak began at which true gas at a sensor first came to, or left, a level. */
function gasAt(changes: readonly Change[], level: number, direction: 'up' | 'down', fromS = 0): number {
  const found = changes.find(
    ({ atMs, value }, index) =>
      (atMs - LEAK_AT) / S >= fromS &&
      typeof value === 'number' &&
      (direction === 'up' ? value >= level - 1e-9 : value < level && index > 0),
  );
  return ((found?.atMs ?? Number.NaN) - LEAK_AT) / S;
}

describe('6 g/s for 2 min into the cabinet, fan off', () => {
  const { facts, recorder } = run([leak({ rate: '6 g/s', lasts: '2 min' }), cooling], LEAK_AT + 400 * S);

  test('the sensors are at the setpoint after 17 s', () => {
    expect(Math.abs((wentTo(facts, 'mitigating')[0] ?? 0) - 17)).toBeLessThanOrEqual(2);
  });
  test('the cabinet is below the setpoint 30 s into the leak', () => {
    expect(gasAt(recorder.changes('coil-a.gas'), 20, 'down', 18)).toBeLessThan(32);
    expect(Math.abs((wentTo(facts, 'holding')[0] ?? 0) - 30)).toBeLessThanOrEqual(2);
  });
  test('cooling is served again at about 330 s', () => {
    expect(Math.abs((wentTo(facts, 'running').at(-1) ?? 0) - 330)).toBeLessThanOrEqual(2);
    const started = recorder.changes('compressor.a').find(({ value }) => value === true);
    expect(Math.abs(((started?.atMs ?? 0) - LEAK_AT) / S - 330)).toBeLessThanOrEqual(2);
  });
});

test('the same leak with the fan already running never trips: it peaks near 11 %LFL', () => {
  const fan: Timed = [10 * S, { call: { fan: 'on' } }];
  const { facts, recorder } = run([fan, leak({ rate: '6 g/s', lasts: '2 min' })], LEAK_AT + 400 * S);
  expect(wentTo(facts, 'mitigating')).toEqual([]);
  const peak = Math.max(...recorder.changes('coil-a.gas').map(({ value }) => Number(value)));
  expect(Math.abs(peak - 11)).toBeLessThanOrEqual(1);
});

describe('10 g/s for 7 min: gas comes back through the return air, and the recheck shows', () => {
  const { facts, recorder, bench } = run(
    [leak({ rate: '10 g/s', lasts: '7 min' }), cooling],
    LEAK_AT + 900 * S,
  );
  const near = (value: number | undefined, expected: number): void => {
    expect(Math.abs((value ?? Number.NaN) - expected)).toBeLessThanOrEqual(2);
  };
  const gas = recorder.changes('coil-a.gas');
  const valueAt = (atS: number): number =>
    Number(gas.findLast(({ atMs }) => atMs <= LEAK_AT + atS * S)?.value ?? Number.NaN);

  test('trips at 12 s, clears at 29 s, is back at 150 s, is below the setpoint from 448 s', () => {
    near(wentTo(facts, 'mitigating')[0], 12);
    near(wentTo(facts, 'holding')[0], 29);
    near(wentTo(facts, 'mitigating')[1], 150);
    near(wentTo(facts, 'holding')[1], 448);
  });
  test('at trip + 300 s, when a mere timer would restart, there is 28 %LFL', () => {
    expect(Math.abs(valueAt(312) - 28)).toBeLessThanOrEqual(0.5);
    expect(wentTo(facts, 'running').filter((atS) => atS > 0 && atS < 448)).toEqual([]);
  });
  test('the hold ends at about 748 s, at 16.5 %LFL', () => {
    near(wentTo(facts, 'running').at(-1), 748);
    expect(Math.abs(valueAt(748) - 16.5)).toBeLessThanOrEqual(0.5);
    expect(bench.supervisor?.mitigation.phase.kind).toBe('running');
  });
});

test.each([
  ['off', 8],
  ['on', 16],
])('the whole charge in 4 min with the fan %s trips after %i s', (fan, expected) => {
  const call: Timed = [10 * S, { call: { fan } }];
  const { facts } = run([call, leak({ kg: '4.2 kg', emptiesIn: '4 min' })], LEAK_AT + 60 * S);
  expect(Math.abs((wentTo(facts, 'mitigating')[0] ?? 0) - expected)).toBeLessThanOrEqual(2);
});

test('the same rig, steps and seed give the same run', () => {
  const steps: Timed[] = [
    cooling,
    [60 * S, { fault: { in: 'coil-a', kind: 'noisy', by: '4 %LFL' } }],
    [61 * S, { fault: { in: 'coil-b', kind: 'silent', probability: 0.4 } }],
    [90 * S, { testGas: { at: 'coil-a', level: '18 %LFL' } }],
  ];
  const one = run(steps, 600 * S);
  const other = run(steps, 600 * S);
  expect(other.facts).toEqual(one.facts);
  for (const signal of one.recorder.signals()) {
    expect(other.recorder.changes(signal)).toEqual(one.recorder.changes(signal));
  }
  expect(one.recorder.signals().length).toBeGreaterThan(10);
});
