/**
 * Leaping over calm stretches leaves exactly what stepping through them leaves: the same trace, request by
 * request, and the same facts.
 */
import { describe, expect, test } from 'vitest';
import { drillOf } from '../../../sim/seek/plan.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { bothWays, randomDrills } from '../../helpers/leapt.ts';
import { drillNamed, SHIPPED } from '../../mutants/drills.ts';
import { onTwoLines } from '../supervisor/tiny-rig.ts';

function late(rig: Rig): Rig {
  const sensors = rig.sensors.map((one) => ({ ...one, deadTimeMs: ms(7000), responseT90Ms: ms(90_000) }));
  return { ...rig, sensors };
}

function everyTwoSeconds(rig: Rig): Rig {
  return { ...rig, lines: rig.lines.map((line) => ({ ...line, pollEveryMs: ms(2000) })) };
}

describe.each([
  ['the demo rig', demoRig(), 8],
  ['a rig that locks out', drillNamed('third-trip').rig, 3],
  ['sensors that learn of gas late', late(demoRig()), 6],
  ['two lines, polled each 2 s', everyTwoSeconds(onTwoLines(ms(2000))), 3],
])('%s', (_, rig, count) => {
  test.each(randomDrills(rig, 1, count).map((drill, index) => [index, drill] as const))(
    'random drill %i',
    (_, drill) => {
      const { stepped, leapt } = bothWays(drill);
      expect(leapt.facts).toEqual(stepped.facts);
      expect(leapt.trace).toEqual(stepped.trace);
    },
  );
});

test.each([...SHIPPED])('shipped drill %s', (_, drill) => {
  const { stepped, leapt } = bothWays(drill);
  expect(leapt.facts).toEqual(stepped.facts);
  expect(leapt.trace).toEqual(stepped.trace);
});

test('a fan that is dead when gas comes', () => {
  const rig = demoRig();
  const fault = (atMs: number, of: string, kind: string) => ({ atMs, deed: { fault: { in: of, kind } } });
  const plan = {
    ...{ lengthMs: 180_000, calls: { cooling: false, heating: false, fan: false } },
    steps: [fault(60_000, 'fan', 'fan-dead'), fault(120_000, 'coil-b', 'saturated')],
  };
  const { stepped, leapt } = bothWays(drillOf(plan, rig));
  expect(leapt.facts).toEqual(stepped.facts);
  expect(
    leapt.facts.some((fact) => fact.id === 'hazard.raised' && fact.fields.hazard === 'fanNotProven'),
  ).toBe(true);
});

test('most of a hold is leapt over', () => {
  expect(bothWays(drillNamed('test-gas-coil-a')).share).toBeGreaterThan(0.6);
});
