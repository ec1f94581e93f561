/**
 * Budget against measurement: on rigs drawn by chance the worst case that a search in virtual time finds
 * never exceeds the bound, and comes near it. The long form draws more and larger rigs
 * (tests/long/budget.test.ts).
 */
import { describe, expect, test } from 'vitest';
import { seededDraw } from '../../../sim/world/random.ts';
import { holdsBound, nearBound } from './held.ts';
import { drawAnyRig, drawRig } from './random-rigs.ts';
import { manySensors } from './rigs.ts';
import { searched } from './search.ts';

const draw = seededDraw(Number(process.env['LEAKBENCH_SEED'] ?? 5));
const chance = (): number => draw.chance();

describe('never above the bound, and within 10 % of it', () => {
  test.each(Array.from({ length: 3 }, (_, number) => [number, drawRig(chance, 10)] as const))(
    'rig %i',
    (_, { rig, silent, said }) => {
      const found = searched(rig, silent, chance);
      holdsBound(found, said);
      nearBound(found, said);
    },
  );
  test.each([0, 2])('fifteen sensors at 38 400 baud, %i of them silent', (silent) => {
    const rig = manySensors({ lines: [{ sensors: 15, baud: 38_400 }], policy: '  silentAfter: 60 min' });
    const found = searched(rig, silent, chance, 0);
    holdsBound(found, 'fifteen');
    nearBound(found, 'fifteen');
  });
});

describe('never above the bound with two lines, a slow gateway, plain TCP, silences that trip', () => {
  test.each(Array.from({ length: 3 }, (_, number) => [number, drawAnyRig(chance, 8)] as const))(
    'rig %i',
    (_, { rig, silent, said }) => {
      holdsBound(searched(rig, silent, chance), said);
    },
  );
});

test('the check would notice a bound that forgets the silent ones', () => {
  const rig = manySensors({ lines: [{ sensors: 5, baud: 19_200 }], policy: '  silentAfter: 60 min' });
  const found = searched(rig, 3, chance, 0);
  const forgets = searched(rig, 0, chance, 0).budget;
  expect(() => {
    holdsBound({ ...found, budget: forgets }, 'forgets');
  }).toThrow();
});
