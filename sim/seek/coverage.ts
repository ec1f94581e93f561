/**
 * What a search has tried so far: how often each rule was exercised and how close it came to breaking, which
 * faults stood together, and which outside states were reached. Drills are added in their order, so that the
 * same drills give the same coverage however many machines ran them.
 */
import { RULE_IDS, type RuleId, type RuleResult } from '../judge/rules.ts';
import type { Possible } from './deeds.ts';
import { isEvent, type Reached } from './outside.ts';
import type { Plan } from './planned.ts';
import { spanOf } from './spans.ts';

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
  /** Faults that stood at one time, two by two. */
  readonly pairs: readonly string[];
  /** Outside states, and events in them. */
  readonly reached: readonly Reached[];
}

export class Coverage {
  readonly rules = new Map<RuleId, RuleCoverage>(
    RULE_IDS.map((id) => [id, { exercised: 0, broken: 0, leastMarginS: null }]),
  );
  /** Two faults that stood at one time, in order of their names. */
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
  add({ rules, pairs, reached }: Covered): readonly Reached[] {
    this.drills += 1;
    const firsts = reached.filter(({ what }) => !this.reached.has(what));
    for (const { what } of reached) this.reached.set(what, (this.reached.get(what) ?? 0) + 1);
    for (const pair of pairs) this.pairs.add(pair);
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

interface Standing {
  readonly name: string;
  /** The two that an exchange is between. */
  readonly exchanged: readonly string[];
  readonly fromMs: number;
  readonly toMs: number;
}

interface Written {
  readonly in: string;
  readonly kind: string;
  readonly with?: string;
  readonly lasts?: string;
}

/** Two faults that stand at one time, each pair once. */
export function pairsIn({ steps }: Plan): readonly string[] {
  const written = steps.flatMap(({ atMs, deed }) =>
    'fault' in deed ? [standingOf(deed['fault'] as Written, atMs)] : [],
  );
  const standing = written
    .map((one, index) => endedBy(one, written.slice(index + 1)))
    .filter(({ fromMs, toMs }) => fromMs < toMs);
  const pairs = standing.flatMap((one, index) =>
    standing
      .slice(index + 1)
      .filter((other) => other.name !== one.name && one.fromMs < other.toMs && other.fromMs < one.toMs)
      .map((other) => pairName(one.name, other.name)),
  );
  return [...new Set(pairs)];
}

function standingOf({ in: part, kind, with: twin, lasts }: Written, fromMs: number): Standing {
  const lastsMs = lasts === undefined ? Number.POSITIVE_INFINITY : spanOf(lasts);
  const exchanged = twin === undefined ? [] : [part, twin];
  return { name: `${kind} in ${part}`, exchanged, fromMs, toMs: fromMs + lastsMs };
}

/** As in the world: a fault that is put in anew, and an exchange of either sensor, end the one before. */
function endedBy(one: Standing, later: readonly Standing[]): Standing {
  const next = later.find(
    ({ name, exchanged }) => name === one.name || exchanged.some((sensor) => one.exchanged.includes(sensor)),
  );
  return next === undefined ? one : { ...one, toMs: Math.min(one.toMs, next.fromMs) };
}

/** In either order the same. */
export function pairName(one: string, other: string): string {
  return one < other ? `${one} + ${other}` : `${other} + ${one}`;
}
