/** Dead time, noise and ageing of a sensor, as a rig file tells them. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { packageRoot } from '../../../src/files/index.ts';
import { type Rig, timeConstantMs } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { load, rigOf, SMALLEST, sensorWith } from './rig-text.ts';

const YEAR_MS = 365.25 * 86_400_000;
const first = (rig: Rig) => {
  const [sensor] = rig.sensors;
  if (sensor?.kind !== 'modbus') throw new Error('the smallest rig has a Modbus sensor');
  return sensor;
};
const sensorOf = (rest: string) => first(rigOf(sensorWith(`unitId: 11, ${rest}`)));

describe('a sensor may', () => {
  test('have a dead time, in whole ms', () => {
    expect(sensorOf('deadTime: 2 s').deadTimeMs).toBe(2000);
    expect(sensorOf('deadTime: 1.4 ms').deadTimeMs).toBe(1);
    expect(
      rigOf(`${SMALLEST}  - { id: b, at: cabinet, kind: contact, input: 8, deadTime: 3 s }\n`).sensors[1],
    ).toMatchObject({
      deadTimeMs: 3000,
    });
  });

  test('have noise, in any unit of gas', () => {
    expect(sensorOf('noise: 0.2 %LFL').noisePercentLfl).toBe(0.2);
    // 1 %vol of R-32 is 6.923 %LFL at 52.0 g/mol and 24.465 l/mol.
    expect(sensorOf('noise: 1 %vol').noisePercentLfl).toBeCloseTo(6.923, 2);
  });

  test('drift, each way, in zero and span', () => {
    expect(sensorOf('driftPerYear: { zero: -0.3 %LFL, span: -2 % }').driftPerYear).toEqual({
      zeroPercentLfl: -0.3,
      spanShare: -0.02,
    });
    expect(sensorOf('driftPerYear: { span: +1.5% }').driftPerYear).toEqual({
      zeroPercentLfl: 0,
      spanShare: 0.015,
    });
    expect(sensorOf('driftPerYear: { zero: 300 ppm }').driftPerYear?.zeroPercentLfl).toBeCloseTo(0.2077, 4);
  });

  test('have an age in place of a day of installation', () => {
    expect(sensorOf('age: 6 years').ageMs).toBe(6 * YEAR_MS);
    expect(sensorOf('age: 0 days').ageMs).toBe(0);
  });
});

test('what the guide writes of a sensor is a rig', () => {
  const guide = readFileSync(join(packageRoot(), 'src/guides/rig.md'), 'utf8');
  const block = /```yaml\n(sensors:\n[^`]*driftPerYear[^`]*)```/u.exec(guide)?.[1] ?? '';
  const rig = rigOf(`${SMALLEST.slice(0, SMALLEST.indexOf('sensors:'))}${block}`);
  expect(first(rig)).toMatchObject({
    deadTimeMs: 2000,
    noisePercentLfl: 0.2,
    driftPerYear: { zeroPercentLfl: -0.2, spanShare: -0.02 },
    ageMs: 6 * YEAR_MS,
  });
});

const TIMES = 's, ms, min, h, days, years';

test.each([
  ['deadTime: 2', `deadTime: 2 needs its unit, such as "2 s" (units it takes: ${TIMES})`],
  ['deadTime: -1 s', 'deadTime: cannot be negative'],
  ['deadTime: 6 min, responseT90: 10 min', 'deadTime: takes 5 min or less'],
  ['deadTime: 10 s', 'deadTime: takes less than responseT90, 10 s, which it is a part of'],
  [
    'noise: 0.2',
    'noise: 0.2 needs its unit, such as "0.2 %LFL" (units it takes: %LFL, ppm, %vol, kg/m3, g/m3, lb/1000ft3)',
  ],
  ['noise: -1 %LFL', 'noise: takes zero or more; a concentration cannot be negative'],
  ['driftPerYear: 2 %', 'driftPerYear: takes a map of keys and values'],
  ['driftPerYear: { span: -2 }', 'driftPerYear.span: takes a share of the gas with its sign, such as -2 %'],
  [
    'driftPerYear: { span: -2 %LFL }',
    'driftPerYear.span: takes a share of the gas with its sign, such as -2 %',
  ],
  [
    'driftPerYear: { zero: -1 }',
    'driftPerYear.zero: -1 needs its unit, such as "-1 %LFL" (units it takes: %LFL, ppm, %vol, kg/m3, g/m3, lb/1000ft3)',
  ],
  ['age: 6', `age: 6 needs its unit, such as "6 s" (units it takes: ${TIMES})`],
  ['age: 6 years, installed: 2020-01-01', 'age: is told twice; write either age or installed'],
])('a sensor with %s is refused', (rest, refusal) => {
  expect(load(sensorWith(`unitId: 11, ${rest}`)).problems).toEqual([
    expect.stringMatching(/^6:\d+: sensors\[0\]\./u),
  ]);
  expect(load(sensorWith(`unitId: 11, ${rest}`)).problems[0]).toContain(`sensors[0].${refusal}`);
});

test('what is left of t90 beside the dead time is the lag', () => {
  expect(timeConstantMs({ responseT90Ms: ms(10_000), deadTimeMs: ms(0) })).toBe(10_000 / Math.LN10);
  expect(timeConstantMs({ responseT90Ms: ms(10_000), deadTimeMs: ms(4000) })).toBe(6000 / Math.LN10);
  expect(timeConstantMs({ responseT90Ms: ms(1000), deadTimeMs: ms(4000) })).toBe(1 / Math.LN10);
});
