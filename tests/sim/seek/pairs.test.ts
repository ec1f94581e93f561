/** Groups of faults that put every pair together: none left out, and few groups. */
import { describe, expect, test } from 'vitest';
import { planOf } from '../../../sim/seek/batch.ts';
import { faultName, pairName, pairsIn } from '../../../sim/seek/coverage.ts';
import { deedsOf, type Possible } from '../../../sim/seek/deeds.ts';
import { countPairs, nextPairs, type Together, togetherIn } from '../../../sim/seek/pairs.ts';
import type { PlannedStep } from '../../../sim/seek/planned.ts';
import { search } from '../../../sim/seek/search.ts';
import type { ModbusSensor, Rig } from '../../../src/rig/index.ts';
import { unitId } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';

const few: readonly Possible[] = ['a', 'b', 'c', 'd', 'e', 'f'].map((part) => ({
  kind: 'silent',
  part,
}));

const anyTwo: Together = (one, other) => one !== other;

function pairsOf(names: readonly string[]): readonly string[] {
  return names.flatMap((one, index) => names.slice(index + 1).map((other) => pairName(one, other)));
}

function allGroups(
  possible: readonly Possible[],
  together: Together = anyTwo,
): readonly (readonly Possible[])[] {
  const seen = new Set<string>();
  const groups: (readonly Possible[])[] = [];
  for (;;) {
    const next = nextPairs(possible, together, seen, 10);
    if (next.length === 0) return groups;
    groups.push(...next);
    for (const group of next) for (const pair of pairsOf(group.map(faultName))) seen.add(pair);
  }
}

test('every pair comes, in groups that each bring a new one', () => {
  const groups = allGroups(few);
  const seen = new Set<string>();
  for (const group of groups) {
    const before = seen.size;
    for (const pair of pairsOf(group.map(faultName))) seen.add(pair);
    expect(seen.size).toBeGreaterThan(before);
  }
  expect(seen.size).toBe(15);
});

test('the demo rig’s pairs take far fewer drills than there are pairs', () => {
  const [{ possible }, together] = [deedsOf(demoRig()), togetherIn(demoRig())];
  const groups = allGroups(possible, together);
  const pairs = new Set(groups.flatMap((group) => pairsOf(group.map(faultName))));
  // On a line of two both exchanges are the same one.
  expect(pairs.has('swapped in coil-a + swapped in coil-b')).toBe(false);
  expect(pairs.size).toBe((possible.length * (possible.length - 1)) / 2 - 1);
  // In a group of four each meets three others: by J. Schönheim's bound (1964) no fewer groups can do.
  const least = Math.ceil((possible.length / 4) * Math.ceil((possible.length - 1) / 3));
  expect(groups.length).toBeGreaterThanOrEqual(least);
  expect(groups.length).toBeLessThan(least * 1.15);
});

test('nothing is left to do where all was seen, or where one fault is all there is', () => {
  expect(nextPairs(few, anyTwo, new Set(pairsOf(few.map(faultName))), 3)).toEqual([]);
  expect(nextPairs(few.slice(0, 1), anyTwo, new Set(), 3)).toEqual([]);
});

/** Two exchanges can stand beside each other, with the right partners. */
const fourOnALine = (): Rig => {
  const { sensors, ...rig } = demoRig();
  const [first] = sensors;
  if (first?.kind !== 'modbus') throw new Error('the demo begins with another sensor');
  const spare = (id: string, unit: number): ModbusSensor => ({ ...first, id, unitId: unitId(unit) });
  return { ...rig, sensors: [...sensors.slice(0, 2), spare('spare', 77), spare('other', 78)] };
};

test('two exchanges among four on a line can stand together, and a search comes upon it', () => {
  const rig = fourOnALine();
  const faults = deedsOf(rig).possible.filter(({ kind }) => kind === 'swapped');
  expect(countPairs(faults, togetherIn(rig))).toBe(6);
  const order = {
    seed: 1,
    focus: { on: 'faults', faults: faults.slice(0, 2) },
    drills: 20,
    twice: false,
  } as const;
  const pairs = Array.from({ length: 20 }, (_, index) => pairsIn(planOf(order, index, rig))).flat();
  expect(pairs).toContain(pairName('swapped in coil-a', 'swapped in coil-b'));
});

test('a pairwise search ends with every pair seen, in hardly more drills than groups', async () => {
  const rig = demoRig();
  const [{ possible }, together] = [deedsOf(rig), togetherIn(rig)];
  const { coverage, pairsPossible } = await search(
    {
      width: 1,
      batch: (order) => {
        const plans = Array.from({ length: order.drills }, (_, index) => planOf(order, index, rig));
        const covered = plans.map((plan) => ({ rules: [], pairs: pairsIn(plan), reached: [] }));
        return Promise.resolve(covered.map((one) => ({ covered: one, breaches: [], unsteady: null })));
      },
      shrink: () => Promise.reject(new Error('nothing was found')),
    },
    {
      ...{ rig, seed: 1, runs: Number.POSITIVE_INFINITY, pairwise: true },
      ...{ findingsMax: 1, goOn: () => true, progress: () => undefined },
    },
  );
  expect(pairsPossible).toBe((possible.length * (possible.length - 1)) / 2 - 1);
  expect(coverage.pairs.size).toBe(pairsPossible);
  expect(coverage.drills).toBeLessThan(allGroups(possible, together).length * 1.15);
});

describe('a pair', () => {
  const fault = (atS: number, part: string, lasts?: string) => ({
    atMs: atS * 1000,
    deed: { fault: { in: part, kind: 'silent', ...(lasts === undefined ? {} : { lasts }) } },
  });
  const swap = (atS: number, part: string, twin: string, lasts?: string) => ({
    atMs: atS * 1000,
    deed: { fault: { in: part, kind: 'swapped', with: twin, ...(lasts === undefined ? {} : { lasts }) } },
  });
  const calls = { cooling: false, heating: false, fan: false };
  const pairs = (...steps: readonly PlannedStep[]) => pairsIn({ lengthMs: 600_000, calls, steps });

  test('is two faults that stand at one time, however often', () => {
    expect(pairs(fault(0, 'b'), fault(9, 'a', '1 min'), fault(80, 'a'))).toEqual([
      'silent in a + silent in b',
    ]);
  });

  test('is neither two of which one ends as the other begins, nor one with itself', () => {
    expect(pairs(fault(0, 'a', '60 s'), fault(60, 'b', '10 s'), fault(70, 'a'), fault(80, 'a'))).toEqual([]);
  });

  test('is not two exchanges that share a sensor: the later one ends the other', () => {
    expect(pairs(swap(0, 'a', 'b'), swap(60, 'b', 'c'))).toEqual([]);
    expect(pairs(swap(0, 'a', 'b'), swap(60, 'c', 'a'), fault(70, 'd'))).toEqual([
      'silent in d + swapped in c',
    ]);
    expect(pairs(fault(0, 'd'), swap(60, 'a', 'b'), swap(60, 'b', 'c'))).toEqual([
      'silent in d + swapped in b',
    ]);
    expect(pairs(swap(0, 'a', 'b'), swap(60, 'c', 'd'))).toEqual(['swapped in a + swapped in c']);
  });

  test('ends with a fault that was put in anew, for a shorter time', () => {
    expect(pairs(fault(0, 'a'), fault(60, 'a', '10 s'), fault(80, 'b'))).toEqual([]);
  });
});
