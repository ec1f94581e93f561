/** What every kind of report calls things, so that they agree to the word. */
import type { RuleResult, Tier } from '../../../sim/judge/rules.ts';
import { formatClock } from '../../units/index.ts';
import { type DrillVerdict, isExercised, SHORTFALLS } from './verdict.ts';

export const CAUTION =
  'Simulation and training only: not a safety device, not certified or listed, no proof of compliance.';

export const HOST_WORDS: Readonly<Record<DrillVerdict['host'], string>> = {
  virtual: 'in virtual time',
  live: 'live, over the wire',
};

export const TIER_WORDS: Readonly<Record<Tier, string>> = {
  published: 'published requirement',
  practice: 'practice',
  choice: 'choice',
};

/** "2 of 3 drills held." */
export function countOf(verdicts: readonly DrillVerdict[]): string {
  const held = verdicts.filter((one) => one.verdict === 'held').length;
  const word = verdicts.length === 1 ? 'drill' : 'drills';
  return `${held} of ${verdicts.length} ${word} held.`;
}

/** "Rules: 6 held, 3 broken, 9 not exercised. Expectations: 1 held." */
export function tallyOf({ rules, expectations }: DrillVerdict): string {
  return [tally('Rules', rules), tally('Expectations', expectations)].filter((one) => one !== '').join(' ');
}

const RESULTS = ['held', 'broken', 'not exercised', 'not applicable'] as const;

function tally(name: string, all: readonly { readonly result: RuleResult['result'] }[]): string {
  const counts = RESULTS.map(
    (result) => [all.filter((one) => one.result === result).length, result] as const,
  );
  const told = counts.filter(([count]) => count > 0).map(([count, result]) => `${count} ${result}`);
  return told.length === 0 ? '' : `${name}: ${told.join(', ')}.`;
}

/**
 * Seconds to the limit with their sign. Tenths, but thousandths where tenths would hide on which side of
 * the limit it was.
 */
export function marginText(marginS: number | null, minus = '-'): string {
  if (marginS === null) return '';
  const distanceS = Math.abs(marginS);
  const digits = distanceS > 0 && distanceS < 0.1 ? 3 : 1;
  return `${marginS < 0 ? minus : '+'}${distanceS.toFixed(digits)} s`;
}

export function momentText(atMs: number | null): string {
  return atMs === null ? '' : formatClock(atMs);
}

/** In the order in which they concern a reader. */
export function byConcern(rules: readonly RuleResult[]): readonly RuleResult[] {
  const rank = (rule: RuleResult): number => (rule.result === 'broken' ? 0 : isExercised(rule) ? 1 : 2);
  return [...rules].sort((a, b) => rank(a) - rank(b));
}

export const ADVICE_HEAD = 'Advice on how the controller asks';

/** Nothing where nobody watched how it asks, or where it asks as it should. */
export function adviceOf({ pollReport }: DrillVerdict): readonly string[] {
  return pollReport?.advice.map(({ text }) => text) ?? [];
}

/** Each thing that broke in a word or two; empty where the drill held. */
export function whatBroke({ trouble, shortfall, rules, expectations }: DrillVerdict): readonly string[] {
  const expected = expectations.filter((one) => one.result === 'broken').length;
  return [
    ...(trouble.length > 0 ? ['the run itself'] : []),
    ...(shortfall === null ? [] : [SHORTFALLS[shortfall].words]),
    ...rules.filter((rule) => rule.result === 'broken').map((rule) => rule.id),
    ...(expected > 0 ? [expected === 1 ? 'an expectation' : `${expected} expectations`] : []),
  ];
}
