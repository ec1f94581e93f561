/** A letter for each broken rule, the same in the list and in the picture. */
import type { RuleResult } from '../../../../sim/judge/rules.ts';

const LETTER_A = 65;

export interface Lettered {
  readonly rule: RuleResult;
  readonly letter: string;
}

/** There are fewer rules than letters. In order of time, as the picture shows them. */
export function lettered(rules: readonly RuleResult[]): readonly Lettered[] {
  return rules
    .filter((rule) => rule.result === 'broken')
    .sort((a, b) => (a.atMs ?? 0) - (b.atMs ?? 0))
    .map((rule, index) => ({ rule, letter: String.fromCharCode(LETTER_A + index) }));
}
