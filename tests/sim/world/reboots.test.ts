/** A sensor that reboots again and again does so by itself, whoever asks it or looks at it. */
import { expect, test } from 'vitest';
import { applyStep, World } from '../../../sim/world/index.ts';
import { pictureOf } from '../../../sim/world/picture.ts';
import { siteOf } from '../../../sim/world/site.ts';
import { encodeRequest } from '../../../src/modbus/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

const RIG = demoRig();
const S = 1000;
const START_MS = 60 * S;
const READ = encodeRequest({ kind: 'read', functionCode: 4, address: 0, quantity: 2 });

/** Coil-a passed its self-test long ago, and reboots every 30 s from the first minute on. */
function rebooting(more: object = {}): World {
  const world = new World(RIG, {
    seed: 1,
    startMs: ms(0),
    serviceDaysLeft: () => 1000,
    observe: () => undefined,
  });
  const fault = { in: 'coil-a', kind: 'reboots', every: '30 s', ...more };
  expect(applyStep(world, stepFor(RIG, { fault }), ms(START_MS))).toBeNull();
  return world;
}

test('its lamp tells of it on the page and beside it', () => {
  const world = rebooting();
  const words = [29, 31, 59, 61].map((seconds) => {
    const nowMs = ms(START_MS + seconds * S);
    world.advance(nowMs);
    const onPage = pictureOf(world, nowMs).sensors['coil-a']?.lamp;
    expect(siteOf(world, nowMs).sensors[0]?.lamp).toEqual(onPage);
    return onPage?.word;
  });
  expect(words[0]).not.toBe(words[1]);
  expect(words).toEqual([words[0], words[1], words[0], words[1]]);
});

test.each([
  ['mended', {}, [{ mend: { in: 'coil-a' } }]],
  ['over by itself', { lasts: '31 s' }, []],
])('its last reboot counts after the fault is %s', (_, more, steps) => {
  const world = rebooting(more);
  for (const step of steps) expect(applyStep(world, stepFor(RIG, step), ms(START_MS + 31 * S))).toBeNull();
  world.advance(ms(START_MS + 40 * S));
  expect(world.units[0]?.device.poweredSinceMs).toBe(START_MS + 30 * S);
});

test('a new address is taken up though nobody asks the old one, which is silent then', () => {
  const world = rebooting();
  const device = world.units[0]?.device;
  if (device !== undefined) device.nextAddress = 31;
  const nowMs = ms(START_MS + 45 * S);
  expect(world.serve('main', 11, READ, nowMs)).toBeUndefined();
  expect(world.serve('main', 31, READ, nowMs)).toBeInstanceOf(Uint8Array);
});
