import { describe, expect, test } from 'vitest';
import { airModel, sensorSteps } from '../../../sim/gas/mode.ts';
import { applyStep, freshStep, stepAfter } from '../../../sim/gas/step.ts';
import { DEMO } from './rooms.ts';

const model = airModel(DEMO);
const steps = sensorSteps(model.still.none, 'cabinet', 4000);

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
    const mode = model.blowing.none;
    expect(sensorSteps(mode, 'room', 4000)).toBe(sensorSteps(mode, 'room', 4000));
    expect(sensorSteps(mode, 'room', 4000)).not.toBe(sensorSteps(mode, 'cabinet', 4000));
    for (let tauMs = 1; tauMs <= 100; tauMs += 1) sensorSteps(mode, 'room', tauMs);
    expect(mode.sensors.size).toBeLessThanOrEqual(16);
  });

  test('add up: ten of a second lead where one of ten leads', () => {
    const releases = { cabinetKgPerS: 0.006, roomKgPerS: 0.001 };
    const [many, one] = [
      { cabinet: 0.1, room: 0.02, rider: 0.03 },
      { cabinet: 0.1, room: 0.02, rider: 0.03 },
    ];
    for (let second = 0; second < 10; second += 1) applyStep(stepAfter(steps, 1000), many, releases);
    applyStep(freshStep(steps, 10_000), one, releases);
    expect(many.cabinet).toBeCloseTo(one.cabinet, 14);
    expect(many.room).toBeCloseTo(one.room, 14);
    expect(many.rider).toBeCloseTo(one.rider, 14);
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
    for (const part of broken) expect(() => airModel({ ...DEMO, ...part })).toThrow(RangeError);
  });
});
