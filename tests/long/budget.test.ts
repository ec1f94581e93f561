/**
 * Budget against measurement at length: rigs of 1 to 60 sensors, 0 to 5 of them silent. LEAKBENCH_SEED draws
 * others.
 */
import { expect, test } from 'vitest';
import { seededDraw } from '../../sim/world/random.ts';
import { holdsBound, nearBound } from '../src/budget/held.ts';
import { drawAnyRig, drawRig } from '../src/budget/random-rigs.ts';
import { manySensors } from '../src/budget/rigs.ts';
import { searched } from '../src/budget/search.ts';

const RIGS = 40;
const SENSORS_MAX = 60;
const draw = seededDraw(Number(process.env['LEAKBENCH_SEED'] ?? 55));
const chance = (): number => draw.chance();

test('never above the bound, and within 10 % of it, with silent sensors and without', () => {
  const drawn = Array.from({ length: RIGS }, () => drawRig(chance, SENSORS_MAX));
  expect(new Set(drawn.map(({ silent }) => silent > 0)).size).toBe(2);
  for (const { rig, silent, said } of drawn) {
    const found = searched(rig, silent, chance, 2);
    holdsBound(found, said);
    nearBound(found, said);
  }
}, 3_600_000);

test('never above the bound with two lines, a slow gateway, plain TCP, silences that trip', () => {
  for (let count = 0; count < RIGS; count += 1) {
    const { rig, silent, said } = drawAnyRig(chance, SENSORS_MAX);
    holdsBound(searched(rig, silent, chance, 2), said);
  }
}, 3_600_000);

test.each([0, 2])('twenty-five sensors at 38 400 baud, %i of them silent', { timeout: 600_000 }, (silent) => {
  const rig = manySensors({ lines: [{ sensors: 25, baud: 38_400 }], policy: '  silentAfter: 60 min' });
  const found = searched(rig, silent, chance, 0);
  holdsBound(found, 'twenty-five');
  nearBound(found, 'twenty-five');
});
