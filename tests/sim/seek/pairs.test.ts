/** Groups of faults that put every pair together: none left out, and few groups. */
import { expect, test } from 'vitest';
import { faultName, pairsOf } from '../../../sim/seek/coverage.ts';
import { deedsOf, type Possible } from '../../../sim/seek/deeds.ts';
import { nextPairs } from '../../../sim/seek/pairs.ts';
import { demoRig } from '../../helpers/demo.ts';

const few: readonly Possible[] = ['a', 'b', 'c', 'd', 'e', 'f'].map((part) => ({
  kind: 'silent',
  part,
}));

function allGroups(possible: readonly Possible[]): readonly (readonly Possible[])[] {
  const seen = new Set<string>();
  const groups: (readonly Possible[])[] = [];
  for (;;) {
    const next = nextPairs(possible, seen, 10);
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
  const { possible } = deedsOf(demoRig());
  const groups = allGroups(possible);
  const pairs = new Set(groups.flatMap((group) => pairsOf(group.map(faultName))));
  const all = (possible.length * (possible.length - 1)) / 2;
  expect(pairs.size).toBe(all);
  // Four together make six pairs: no fewer than a sixth can do.
  expect(groups.length).toBeGreaterThanOrEqual(all / 6);
  expect(groups.length).toBeLessThan(all / 4);
});

test('nothing is left to do where all was seen, or where one fault is all there is', () => {
  expect(nextPairs(few, new Set(pairsOf(few.map(faultName))), 3)).toEqual([]);
  expect(nextPairs(few.slice(0, 1), new Set(), 3)).toEqual([]);
});
