/**
 * Budget against measurement: on rigs drawn by chance the worst case that a search in virtual time finds
 * never exceeds the bound, and comes near it. These are a few small rigs, with all that matters in one of
 * them at least; the long form draws more and larger ones (tests/long/budget.test.ts).
 */
import { describe, expect, test } from 'vitest';
import { seededDraw } from '../../../sim/world/random.ts';
import { budgetOf } from '../../../src/budget/index.ts';
import { holdsBound, nearBound } from './held.ts';
import { drawAnyRig, drawRig } from './random-rigs.ts';
import { manySensors } from './rigs.ts';
import { searched } from './search.ts';

const draw = seededDraw(Number(process.env['LEAKBENCH_SEED'] ?? 8));
const chance = (): number => draw.chance();

const RIGS = 3;
const SENSORS_MAX = 4;
/** A silence that lasts through a trial is longer. */
const TRIAL_MS = 10_000;
const patient = Array.from({ length: RIGS }, () => drawRig(chance, SENSORS_MAX));
const any = Array.from({ length: RIGS }, () => drawAnyRig(chance, SENSORS_MAX));

describe('never above the bound, and within 10 % of it', () => {
  test.each(patient)('$said', ({ rig, silent, said }) => {
    const found = searched(rig, silent, chance);
    holdsBound(found, said);
    nearBound(found, said);
  });
});

describe('never above the bound with two lines, a slow gateway, plain TCP, silences that trip', () => {
  test.each(any)('$said', ({ rig, silent, said }) => {
    holdsBound(searched(rig, silent, chance), said);
  });
});

test.skipIf(process.env['LEAKBENCH_SEED'] !== undefined)(
  'the rigs drawn have what the bounds are about',
  () => {
    expect(new Set(patient.map(({ silent }) => silent > 0))).toEqual(new Set([true, false]));
    expect(any.some(({ rig }) => rig.lines.length > 1)).toBe(true);
    expect(any.some(({ rig }) => rig.lines.some(({ pace }) => pace === null))).toBe(true);
    expect(any.some(({ rig, silent }) => silent > 0 && rig.policy.silentAfterMs < TRIAL_MS)).toBe(true);
  },
);

test('the check would notice a bound that forgets the silent ones', () => {
  const rig = manySensors({ lines: [{ sensors: 5, baud: 19_200 }], policy: '  silentAfter: 60 min' });
  const found = searched(rig, 2, chance, 0);
  const forgets = budgetOf(rig, { silent: 0, networkMs: 0, refreshMs: 0 });
  expect(() => {
    holdsBound({ ...found, budget: forgets }, 'forgets');
  }).toThrow();
});
