/** Calm is claimed only where every device goes on answering as it does now. */
import { expect, test } from 'vitest';
import { applyStep, calmUntilMs, World } from '../../../sim/world/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

const S = 1000;
const NOT_CALM = Number.NEGATIVE_INFINITY;
/** The sensors of the demo rig have passed their self-tests, and nobody has fed the watchdog. */
const RIG = demoRig();
const LONG_AFTER_MS = 600 * S;

function worldOf(rig: Rig = RIG): World {
  return new World(rig, { seed: 1, startMs: ms(0), serviceDaysLeft: () => 1000, observe: () => undefined });
}

/** With commands that have come until then. */
function at(world: World, nowMs: number): World {
  world.commandedUntil(ms(nowMs));
  world.advance(ms(nowMs));
  return world;
}

function after(written: unknown, rig: Rig = RIG): World {
  const world = at(worldOf(rig), LONG_AFTER_MS);
  expect(applyStep(world, stepFor(rig, written), world.nowMs)).toBeNull();
  return world;
}

test('without gas or fault it stays so until midnight of bench time', () => {
  expect(calmUntilMs(at(worldOf(), LONG_AFTER_MS))).toBe(86_400 * S);
});

test('a self-test ends it', () => {
  const [first] = worldOf().units;
  expect(calmUntilMs(worldOf())).toBe(first?.device.plan.selfTestMs);
});

test('so does a watchdog that nothing has fed, and no supply', () => {
  const world = worldOf();
  world.advance(ms(LONG_AFTER_MS));
  expect(calmUntilMs(world)).toBe(NOT_CALM);
  expect(calmUntilMs(after({ power: { to: 'rig', cut: '1 min' } }))).toBe(NOT_CALM);
});

test.each([
  ['a seep that no sensor can feel yet', { release: { at: 'cabinet', rate: '0.0001 g/s' } }],
  ['gas held at a sensor', { testGas: { at: 'coil-a', level: '10 %LFL' } }],
  ['a fault that is drawn at each request', { fault: { in: 'coil-a', kind: 'noisy', by: '1 %LFL' } }],
  ['another gas that comes in', { fault: { in: 'coil-a', kind: 'other-gas', by: '5 %LFL' } }],
])('%s: not calm', (_, step) => {
  expect(calmUntilMs(after(step))).toBe(NOT_CALM);
});

test('what comes to an end by itself ends it', () => {
  const fault = { in: 'coil-a', kind: 'offset', by: '1 %LFL', lasts: '2 min' };
  expect(calmUntilMs(after({ fault }))).toBe(LONG_AFTER_MS + 120 * S);
});

test('gas that is left where a sensor can tell: not calm; thinned out beyond that: calm', () => {
  const world = after({ release: { at: 'cabinet', rate: '6 g/s', lasts: '10 s' } });
  expect(calmUntilMs(at(world, LONG_AFTER_MS + 60 * S))).toBe(NOT_CALM);
  expect(calmUntilMs(at(world, LONG_AFTER_MS + 20 * 3600 * S))).toBeGreaterThan(world.nowMs);
});

test('gas that a sensor has not learned of yet: not calm', () => {
  const late = { ...RIG, sensors: RIG.sensors.map((one) => ({ ...one, deadTimeMs: ms(8 * S) })) };
  const world = after({ testGas: { at: 'coil-a', level: '40 %LFL', lasts: '1 s' } }, late);
  expect(calmUntilMs(at(world, LONG_AFTER_MS + 2 * S))).toBe(NOT_CALM);
});

test('the air of a fan that spins up ends it', () => {
  const world = at(worldOf(), LONG_AFTER_MS);
  world.io.coils[0] = 1;
  world.settle();
  expect(calmUntilMs(world)).toBe(LONG_AFTER_MS + RIG.fan.spinUpMs);
});

test('a sensor with noise, or a line with a gateway that takes its time: never calm', () => {
  const noisy = RIG.sensors.map((one) => (one.kind === 'modbus' ? { ...one, noisePercentLfl: 0.1 } : one));
  expect(calmUntilMs(at(worldOf({ ...RIG, sensors: noisy }), LONG_AFTER_MS))).toBe(NOT_CALM);
  const pace = { baud: 9600, turnaroundMs: ms(5), timeoutMs: ms(100) };
  const paced = RIG.lines.map((line) => ({ ...line, pace })) as unknown as Rig['lines'];
  expect(calmUntilMs(at(worldOf({ ...RIG, lines: paced }), LONG_AFTER_MS))).toBe(NOT_CALM);
});

test('a sensor that comes round: calm without gas, not with gas that it is yet to read', () => {
  const poisoned = { in: 'coil-a', kind: 'poisoned', factor: 0.3, halfLife: '1 h' };
  const comingRound = (world: World): World => {
    for (const step of [{ fault: { in: 'coil-a', kind: 'offset', by: '-10 %LFL' } }, { fault: poisoned }])
      expect(applyStep(world, stepFor(RIG, step), world.nowMs)).toBeNull();
    expect(
      applyStep(world, stepFor(RIG, { mend: { in: 'coil-a', kind: 'poisoned' } }), world.nowMs),
    ).toBeNull();
    return world;
  };
  expect(calmUntilMs(comingRound(at(worldOf(), LONG_AFTER_MS)))).toBeGreaterThan(LONG_AFTER_MS);
  const inCabinet = RIG.sensors.filter(({ id }) => id === 'coil-a');
  const leaky = after(
    { release: { at: 'cabinet', rate: '6 g/s', lasts: '10 s' } },
    { ...RIG, sensors: inCabinet },
  );
  at(leaky, LONG_AFTER_MS + 60 * S);
  // Of the gas that is left the offset takes away three tenths, and not all.
  const most = leaky.atmosphere.mostLeft(leaky.nowMs) ?? 0;
  expect(most).toBeGreaterThan(10);
  expect(0.3 * most).toBeLessThan(10);
  expect(calmUntilMs(comingRound(leaky))).toBe(NOT_CALM);
});
