/**
 * Which faults to put together next, so that every two have been together after few drills: a greedy
 * covering array (D. M. Cohen et al., "The AETG system", IEEE Trans. Softw. Eng. 23(7), 1997; from memory).
 */
import { faultName, pairName } from './coverage.ts';
import type { Possible } from './deeds.ts';

/** More at once hide each other: most drills would then show the strongest of them alone. */
const TOGETHER_MAX = 4;

/** Groups of faults, no pair of which is in `seen` or in an earlier group if that can be avoided. */
export function nextPairs(
  possible: readonly Possible[],
  seen: ReadonlySet<string>,
  groups: number,
): readonly (readonly Possible[])[] {
  const covered = new Set(seen);
  const isNew = (one: Possible, other: Possible): boolean =>
    one !== other && !covered.has(pairName(faultName(one), faultName(other)));
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
      const next = bestWith(group, possible, isNew);
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
  possible: readonly Possible[],
  isNew: (one: Possible, other: Possible) => boolean,
): Possible | undefined {
  let best: Possible | undefined;
  let most = 0;
  for (const candidate of possible) {
    if (group.includes(candidate)) continue;
    const adds = group.filter((one) => isNew(one, candidate)).length;
    if (adds <= most) continue;
    best = candidate;
    most = adds;
  }
  return best;
}
