/**
 * Values that practitioners name: common practice, no source. They are plausibility alone, never
 * requirements; what has no number (a blinking sensor is replaced, a dry contact switches 24 V) is not here.
 */
import { expect, test } from 'vitest';
import { RULES } from '../../sim/judge/rules.ts';
import { serviceDaysOf } from '../../src/app/service-life.ts';
import { choosable, refrigerantFrom, rowNamed, toPercentLfl } from '../../src/refrigerant/index.ts';
import { demoRig } from '../helpers/demo.ts';

const RIG = demoRig();

test('common practice, no source: mitigation lasts 5 min at the least and is judged again on a fresh reading', () => {
  expect(RIG.policy.holdMs).toBeGreaterThanOrEqual(300_000);
  expect(RULES.hold.words).not.toBe('');
  expect(RULES.recheck.words).not.toBe('');
});

test('common practice, no source: 2.5 %vol of R-454B is below 25 %LFL by every published LFL, 21 to 22 % of 11.25 to 11.8 %vol', () => {
  const row = rowNamed('R-454B');
  if (row === undefined) throw new Error('R-454B');
  const levels = choosable(row).map(({ id }) => {
    const refrigerant = refrigerantFrom(row, id);
    if (refrigerant === undefined) throw new Error(id);
    return { id, level: toPercentLfl({ value: 2.5, unit: '%vol' }, refrigerant) };
  });
  expect(levels.length).toBeGreaterThanOrEqual(5);
  for (const { level } of levels) expect(level).toBeLessThan(25);
  for (const { id, level } of levels.filter((one) => ['rd552', 'training'].includes(one.id))) {
    expect(Math.floor(level), id).toBeGreaterThanOrEqual(21);
    expect(Math.round(level), id).toBeLessThanOrEqual(22);
  }
});

test('common practice, no source: a self-test takes a few seconds, and a sensor serves about 15 years', () => {
  const [sensor] = RIG.sensors;
  if (sensor?.kind !== 'modbus') throw new Error('a Modbus sensor comes first');
  expect(sensor.selfTestMs).toBeGreaterThanOrEqual(1000);
  expect(sensor.selfTestMs).toBeLessThanOrEqual(10_000);
  expect(serviceDaysOf(sensor) / 365.25).toBeCloseTo(15, 1);
});

test('common practice, no source: a larger unit carries two sensors on one line, each with its own address and serial', () => {
  const pair = RIG.sensors.flatMap((sensor) => (sensor.kind === 'modbus' ? [sensor] : []));
  expect(pair).toHaveLength(2);
  expect(new Set(pair.map(({ line }) => line)).size).toBe(1);
  expect(new Set(pair.map(({ unitId }) => unitId)).size).toBe(2);
  expect(new Set(pair.map(({ serial }) => serial)).size).toBe(2);
});
