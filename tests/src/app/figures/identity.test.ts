/**
 * The identity that ties the figures to the gas of the bench: a charge that leaks in 4 min into the least
 * airflow makes 50 %LFL (IEC 60335-2-40 form) or 25 %LFL (ANSI/ASHRAE 15 form) in the stream. Published for
 * clean return air: so the room is a hall of a hundred thousand m3 with outside air a hundred times an hour,
 * and what comes back is less than a ten-thousandth of LFL.
 */
import { describe, expect, test } from 'vitest';
import { benchCourses, LEAK_MS } from '../../../../src/app/figures/bench-courses.ts';
import { caseOfRig } from '../../../../src/app/figures/case-of-rig.ts';
import { figuresFor } from '../../../../src/figures/index.ts';
import { REFRIGERANTS, STANDARD_AIR } from '../../../../src/refrigerant/index.ts';
import type { Rig } from '../../../../src/rig/index.ts';
import { demoRig } from '../../../helpers/demo.ts';

const DEMO_RIG = demoRig();
const HALL = { floorM2: 10_000, heightM: 10, airChangesPerS: 100 / 3600 };

function leastAirflow(rig: Rig, id: string): number {
  const the = caseOfRig(rig, { install: null, airflowTold: true });
  const all = figuresFor(the, STANDARD_AIR).flatMap(({ figures }) => figures);
  return all.find((one) => one.id === id)?.result?.value ?? Number.NaN;
}

describe.each(REFRIGERANTS.map((refrigerant) => [refrigerant.name, refrigerant] as const))(
  '%s',
  (_, refrigerant) => {
    test.each([
      ['airflow.half', 50],
      ['airflow.quarter', 25],
    ])('leaking into the airflow of %s makes %d %%LFL in the simulated stream', (id, percent) => {
      const rig = { ...DEMO_RIG, refrigerant, room: HALL };
      const airflowM3PerS = leastAirflow(rig, id) / 3600;
      const [, on] = benchCourses({ ...rig, fan: { ...rig.fan, airflowM3PerS } });
      const stream = on?.places.find(({ place }) => place === 'cabinet');
      expect(Number(stream?.peak.atMs)).toBeLessThanOrEqual(LEAK_MS);
      expect(Math.abs(Number(stream?.peak.value) - percent)).toBeLessThan(0.02);
    });
  },
);

test('a tenth less airflow than the least goes past it', () => {
  const rig = { ...DEMO_RIG, room: HALL };
  const airflowM3PerS = (0.9 * leastAirflow(rig, 'airflow.quarter')) / 3600;
  const [, on] = benchCourses({ ...rig, fan: { ...rig.fan, airflowM3PerS } });
  expect(on?.places.find(({ place }) => place === 'cabinet')?.peak.value).toBeCloseTo(25 / 0.9, 1);
});
