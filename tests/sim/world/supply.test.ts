/** Whether a supply arrives at a sensor, as the API tells it and as a person finds it. */
import { expect, test } from 'vitest';
import { applyStep, World } from '../../../sim/world/index.ts';
import { pictureOf } from '../../../sim/world/picture.ts';
import { siteOf } from '../../../sim/world/site.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

const rig = demoRig();

const cases = ['coil-a', 'grille'].flatMap((sensor) => [
  { sensor, says: 'nothing is done to it', steps: [], supplied: true, unpowered: [] },
  {
    sensor,
    says: 'its switch is off',
    steps: [{ power: { to: sensor, cut: 'stays' } }],
    supplied: false,
    unpowered: [sensor],
  },
  {
    sensor,
    says: 'the rig has none',
    steps: [{ power: { to: 'rig', cut: 'stays' } }],
    supplied: false,
    unpowered: ['rig'],
  },
  {
    sensor,
    says: 'its fault keeps it away',
    steps: [{ fault: { in: sensor, kind: 'no-power' } }],
    supplied: false,
    unpowered: [],
  },
  {
    sensor,
    says: 'that fault is mended',
    steps: [{ fault: { in: sensor, kind: 'no-power' } }, { mend: { in: sensor } }],
    supplied: true,
    unpowered: [],
  },
]);

test.each(cases)('of $sensor while $says: $supplied', ({ sensor, steps, supplied, unpowered }) => {
  const world = new World(rig, {
    seed: 1,
    startMs: ms(0),
    serviceDaysLeft: () => 3000,
    observe: () => undefined,
  });
  for (const step of steps) expect(applyStep(world, stepFor(rig, step), ms(100))).toBeNull();
  const picture = pictureOf(world, ms(100));
  expect(picture.sensors[sensor]?.powered).toBe(supplied);
  expect(siteOf(world, ms(100)).sensors.find(({ id }) => id === sensor)?.supplied).toBe(supplied);
  expect(picture.unpowered).toEqual(unpowered);
});
