/**
 * Drills that reached what none had reached before, to go on from: a lock-out that takes three leaks is
 * found again in every drill that continues this one, and by chance in hardly any.
 */
import type { Reached } from './outside.ts';
import type { Plan } from './planned.ts';

/** A drill up to a moment, and whatever comes after. */
export interface Start {
  readonly plan: Plan;
  readonly atMs: number;
}

interface Kept extends Start {
  /** What it was the first to reach there. */
  readonly what: string;
  taken: number;
}

export class Corpus {
  readonly #kept: Kept[] = [];

  /** Of all that a drill was the first to reach, the last has the longest history. */
  add(plan: Plan, firsts: readonly Reached[]): void {
    const last = firsts.toSorted((one, other) => other.atMs - one.atMs)[0];
    if (last !== undefined) this.#kept.push({ plan, ...last, taken: 0 });
  }

  /** The one taken least often; of those, what fewest drills have reached; of those, the newest. */
  take(drillsThatReached: (what: string) => number): Start | undefined {
    let best: Kept | undefined;
    for (const one of this.#kept) {
      const before =
        best === undefined ||
        (one.taken - best.taken || drillsThatReached(one.what) - drillsThatReached(best.what)) <= 0;
      if (before) best = one;
    }
    if (best === undefined) return undefined;
    best.taken += 1;
    return { plan: best.plan, atMs: best.atMs };
  }
}
