/**
 * What a search has tried so far: how often each rule was exercised and how close it came to breaking, and
 * which faults were put in together, and which outside states were reached. Drills are added in their order, so that the same drills give the same
 * coverage however many machines ran them.
 */
import { RULE_IDS, type RuleId, type RuleResult } from '../judge/rules.ts';
import type { Possible } from './deeds.ts';
import { isEvent, type Reached } from './outside.ts';
import type { Plan } from './planned.ts';

export interface RuleCoverage {
  /** Drills in which it was held or broken. */
  exercised: number;
  broken: number;
  /** Seconds; null before it was exercised, or where it has no margin. */
  leastMarginS: number | null;
}

/** What one drill adds. */
export interface Covered {
  readonly rules: readonly Pick<RuleResult, 'id' | 'result' | 'marginS'>[];
  /** Names of faults. */
  readonly faults: readonly string[];
  /** Outside states, and events in them. */
  readonly reached: readonly Reached[];
}

export class Coverage {
  readonly rules = new Map<RuleId, RuleCoverage>(
    RULE_IDS.map((id) => [id, { exercised: 0, broken: 0, leastMarginS: null }]),
  );
  /** Two faults of one drill, in order of their names. */
  readonly pairs = new Set<string>();
  /** How many drills reached each outside state, and each event in one. */
  readonly reached = new Map<string, number>();
  drills = 0;

  /** Outside states, and events in them, of which drills have seen any. */
  get outside(): { readonly states: number; readonly events: number } {
    const events = [...this.reached.keys()].filter(isEvent).length;
    return { states: this.reached.size - events, events };
  }

  /** Adds a drill, and says what of all that it reached it was the first to reach. */
  add({ rules, faults, reached }: Covered): readonly Reached[] {
    this.drills += 1;
    const firsts = reached.filter(({ what }) => !this.reached.has(what));
    for (const { what } of reached) this.reached.set(what, (this.reached.get(what) ?? 0) + 1);
    for (const pair of pairsOf(faults)) this.pairs.add(pair);
    for (const { id, result, marginS } of rules) {
      const rule = this.rules.get(id);
      if (rule === undefined || (result !== 'held' && result !== 'broken')) continue;
      rule.exercised += 1;
      if (result === 'broken') rule.broken += 1;
      if (marginS !== null) rule.leastMarginS = Math.min(rule.leastMarginS ?? marginS, marginS);
    }
    return firsts;
  }
}

export function faultName({ kind, part }: Possible): string {
  return `${kind} in ${part}`;
}

/** Each fault of a plan once. */
export function faultsOf({ steps }: Plan): readonly string[] {
  const written = steps.flatMap(({ deed }) => ('fault' in deed ? [deed['fault'] as Written] : []));
  return [...new Set(written.map(({ in: part, kind }) => `${kind} in ${part}`))];
}

interface Written {
  readonly in: string;
  readonly kind: string;
}

export function pairsOf(faults: readonly string[]): readonly string[] {
  const sorted = faults.toSorted();
  return sorted.flatMap((one, index) => sorted.slice(index + 1).map((other) => pairName(one, other)));
}

/** In either order the same. */
export function pairName(one: string, other: string): string {
  return one < other ? `${one} + ${other}` : `${other} + ${one}`;
}
