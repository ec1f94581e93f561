import { describe, expect, test } from 'vitest';
import { airModel, modeOf, sensorSteps } from '../../../sim/gas/mode.ts';
import { applyStep, freshStep, stepAfter } from '../../../sim/gas/step.ts';
import { DEMO, FLOWS_BETWEEN } from './rooms.ts';

const model = airModel(DEMO);
const NONE = [false, false];
const still = modeOf(model, { fanBlowing: false, fallsPerS: 0 }, NONE);
const steps = sensorSteps(still, 'cabinet', 4000);

describe('steps of the air', () => {
  test('of a regular poll are worked out once', () => {
    const first = stepAfter(steps, 1000);
    expect(stepAfter(steps, 1000)).toBe(first);
    expect(stepAfter(steps, 1001)).not.toBe(first);
    expect(first).toEqual(freshStep(steps, 1000));
  });

  test('are remembered in bounded number, however many lengths are asked for', () => {
    for (let dtMs = 1; dtMs <= 1000; dtMs += 1) stepAfter(steps, dtMs);
    expect(steps.byMs.size).toBeGreaterThan(0);
    expect(steps.byMs.size).toBeLessThanOrEqual(128);
  });

  test('of sensors are shared by their zone and time constant, and bounded too', () => {
    const mode = modeOf(model, { fanBlowing: true, fallsPerS: 0 }, NONE);
    expect(sensorSteps(mode, 'room', 4000)).toBe(sensorSteps(mode, 'room', 4000));
    expect(sensorSteps(mode, 'room', 4000)).not.toBe(sensorSteps(mode, 'cabinet', 4000));
    for (let tauMs = 1; tauMs <= 100; tauMs += 1) sensorSteps(mode, 'room', tauMs);
    expect(mode.sensors.size).toBeLessThanOrEqual(16);
  });

  test('of a sheltered sensor are others than of one in the stream, and a zone that is not there has none', () => {
    expect(sensorSteps(still, 'room', 4000, 0)).toBe(sensorSteps(still, 'room', 4000));
    expect(sensorSteps(still, 'room', 4000, 9000)).not.toBe(sensorSteps(still, 'room', 4000));
    expect(() => sensorSteps(still, 'room', 4000, -1)).toThrow(RangeError);
    expect(() => sensorSteps(still, 'low', 4000)).toThrow(/no low among cabinet, room/u);
  });

  test('add up: ten of a second lead where one of ten leads, releases that fall among them', () => {
    for (const fallsPerS of [0, 0.01]) {
      const mode = modeOf(model, { fanBlowing: false, fallsPerS }, NONE);
      const falling = sensorSteps(mode, 'cabinet', 4000);
      const [many, one] = [Float64Array.of(0.1, 0.02, 0.03, 0.006, 0.001), new Float64Array(5)];
      one.set(many);
      for (let second = 0; second < 10; second += 1) applyStep(stepAfter(falling, 1000), many);
      applyStep(freshStep(falling, 10_000), one);
      for (const [index, value] of many.entries()) expect(value).toBeCloseTo(Number(one[index]), 14);
      expect(one[3]).toBeCloseTo(0.006 * Math.exp(-10 * fallsPerS), 16);
    }
  });
});

describe('modes', () => {
  test('are remembered in bounded number, however many rates releases fall at', () => {
    const fresh = airModel(DEMO);
    const one = modeOf(fresh, { fanBlowing: false, fallsPerS: 1 }, NONE);
    expect(modeOf(fresh, { fanBlowing: false, fallsPerS: 1 }, [false, false])).toBe(one);
    for (let rate = 1; rate <= 200; rate += 1) modeOf(fresh, { fanBlowing: true, fallsPerS: rate }, NONE);
    expect(fresh.modes.size).toBeLessThanOrEqual(64);
  });
});

describe('a plan', () => {
  test('that no rig can have is refused', () => {
    const broken = [
      { cabinetM3: 0 },
      { roomM3: -1 },
      { vapourKgPerM3: 0 },
      { leakageM3PerS: -0.001 },
      { fanM3PerS: Number.NaN },
      { outsideM3PerS: Number.POSITIVE_INFINITY },
    ];
    const layers = { lowM3: 12, ...FLOWS_BETWEEN };
    expect(airModel({ ...DEMO, layers }).m3).toEqual([1.2, 12, 48]);
    for (const part of [{ lowM3: 0 }, { lowM3: 60 }, { mixingM3PerS: -1 }, { drainM3PerS: Number.NaN }]) {
      expect(() => airModel({ ...DEMO, layers: { ...layers, ...part } })).toThrow(RangeError);
    }
    for (const part of broken) expect(() => airModel({ ...DEMO, ...part })).toThrow(RangeError);
  });
});
