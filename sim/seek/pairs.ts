/**
 * Which faults to put together next, so that every two have been together after few drills: a greedy
 * covering array (D. M. Cohen et al., "The AETG system", IEEE Trans. Softw. Eng. 23(7), 1997; from memory).
 */
import type { Rig } from '../../src/rig/index.ts';
import { faultName, pairName } from './coverage.ts';
import type { Possible } from './deeds.ts';
import { neighboursOf } from './fault-parameters.ts';

export type Together = (one: Possible, other: Possible) => boolean;

/** More at once hide each other: most drills would then show the strongest of them alone. */
const TOGETHER_MAX = 4;

/** Which two can stand at one time: of two exchanges that share a sensor the later one ends the other. */
export function togetherIn(rig: Rig): Together {
  return (one, other) => {
    if (one === other) return false;
    if (one.kind !== 'swapped' || other.kind !== 'swapped') return true;
    const partnersOf = ({ part }: Possible): readonly string[] =>
      neighboursOf(rig, part).filter((id) => id !== one.part && id !== other.part);
    return partnersOf(one).some((id) => partnersOf(other).some((twin) => twin !== id));
  };
}

export function countPairs(possible: readonly Possible[], together: Together): number {
  return possible
    .map((one, index) => possible.slice(index + 1).filter((other) => together(one, other)).length)
    .reduce((sum, count) => sum + count, 0);
}

/**
 * Groups of faults that can all stand together, no pair of which is in `seen` or in an earlier group if that
 * can be avoided.
 */
export function nextPairs(
  possible: readonly Possible[],
  together: Together,
  seen: ReadonlySet<string>,
  groups: number,
): readonly (readonly Possible[])[] {
  const covered = new Set(seen);
  const isNew = (one: Possible, other: Possible): boolean =>
    together(one, other) && !covered.has(pairName(faultName(one), faultName(other)));
  const result: Possible[][] = [];
  for (let from = 0; from < possible.length && result.length < groups; ) {
    const first = possible[from];
    const second = first === undefined ? undefined : possible.find((other) => isNew(first, other));
    if (first === undefined || second === undefined) {
      from += 1;
      continue;
    }
    const group = [first, second];
    while (group.length < TOGETHER_MAX) {
      const fit = possible.filter((candidate) => group.every((one) => together(one, candidate)));
      const next = bestWith(group, fit, isNew);
      if (next === undefined) break;
      group.push(next);
    }
    for (const one of group)
      for (const other of group) covered.add(pairName(faultName(one), faultName(other)));
    result.push(group);
  }
  return result;
}

/** The one that adds most new pairs to the group; undefined where none adds any. */
function bestWith(
  group: readonly Possible[],
  fit: readonly Possible[],
  isNew: (one: Possible, other: Possible) => boolean,
): Possible | undefined {
  let best: Possible | undefined;
  let most = 0;
  for (const candidate of fit) {
    const adds = group.filter((one) => isNew(one, candidate)).length;
    if (adds <= most) continue;
    best = candidate;
    most = adds;
  }
  return best;
}
