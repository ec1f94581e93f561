/** Whether the chain is judged at a sensor that its age has taken out of its limits. */
import { describe, expect, test } from 'vitest';
import { isInLimits } from '../../../sim/drill/in-limits.ts';
import type { Drill } from '../../../sim/drill/index.ts';
import type { DriftPerYear, ModbusSensor, Rig } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';
import { builtIn } from '../../mutants/judged.ts';

const YEAR_MS = 365.25 * 86_400_000;
/** After ten years 0.8 of 25 %LFL is the setpoint, which a lag never comes to. */
const TIRED: DriftPerYear = { zeroPercentLfl: 0, spanShare: -0.02 };

function aged(years: number | null, driftPerYear: DriftPerYear | null, has: Partial<ModbusSensor> = {}): Rig {
  const rig = demoRig();
  const ageMs = years === null ? null : ms(years * YEAR_MS);
  const sensors = rig.sensors.map((one) =>
    one.id === 'coil-a' && one.kind === 'modbus' ? { ...one, driftPerYear, ageMs, ...has } : one,
  );
  return { ...rig, sensors };
}

function isSound(rig: Rig): boolean {
  const [sensor] = rig.sensors;
  return sensor !== undefined && isInLimits(sensor, rig.policy);
}

describe('a sensor is within its limits', () => {
  test('until its age lets it report 25 %LFL later than a detector may, or never', () => {
    expect([0, 5, 9.9, 10, 15].map((years) => isSound(aged(years, TIRED)))).toEqual([
      true,
      true,
      true,
      false,
      false,
    ]);
    const slower = { responseT90Ms: ms(25_000) };
    expect([0, 5, 9.9].map((years) => isSound(aged(years, TIRED, slower)))).toEqual([true, true, false]);
  });

  test('where it does not drift, however old and slow: that is the rig’s own, and fails the chain', () => {
    expect(isSound(aged(40, null, { responseT90Ms: ms(90_000) }))).toBe(true);
  });

  test('where nobody says how old it is: then it is new', () => {
    expect(isSound(aged(null, TIRED, { installed: '1990-01-01' }))).toBe(true);
  });

  test('where it is a contact, or reads too much', () => {
    const { sensors, policy } = demoRig();
    expect(sensors.filter(({ kind }) => kind === 'contact').map((one) => isInLimits(one, policy))).toEqual([
      true,
    ]);
    expect(isSound(aged(12, { zeroPercentLfl: 0.5, spanShare: 0.01 }))).toBe(true);
  });
});

describe('a drill with an old sensor', () => {
  const drillOn = (rig: Rig): Drill => ({
    name: 'An old sensor in the gas',
    why: '',
    file: 'old.drill.yaml',
    text: '',
    rigFile: rig.file,
    rig,
    lengthMs: ms(600_000),
    calls: { cooling: true, heating: false, fan: false },
    steps: [{ atMs: ms(60_000), step: stepFor(rig, { testGas: { at: 'coil-a', level: '25 %LFL' } }) }],
    rules: ['chain', 'ask'],
    expectations: [],
    lesson: null,
  });
  const chainOf = (rig: Rig): string | undefined =>
    builtIn(drillOn(rig)).results.find(({ id }) => id === 'chain')?.result;

  test('does not hold against the controller what the sensor is too old to report', () => {
    expect(chainOf(aged(12, TIRED))).toBe('not exercised');
  });

  test('nor what it is too old for after a fault of it was mended', () => {
    const rig = aged(12, TIRED);
    const passing = { fault: { in: 'coil-a', kind: 'slow', t90: '20 s', lasts: '5 s' } };
    const before = { atMs: ms(10_000), step: stepFor(rig, passing) };
    const drill = drillOn(rig);
    const [chain] = builtIn({ ...drill, steps: [before, ...drill.steps] }).results;
    expect(chain).toMatchObject({ id: 'chain', result: 'not exercised' });
  });

  test('holds against it what the sensor, though drifted, does report in time', () => {
    expect(chainOf(aged(8, TIRED))).toBe('held');
    expect(chainOf(aged(null, null))).toBe('held');
  });
});
