/**
 * The verdict of one drill, and all that a report says of it. A verdict that no evidence carries is
 * `broken`: what was not shown to hold has not held.
 */
import { stripVTControlCharacters } from 'node:util';
import type { Drill } from '../../../sim/drill/drill.ts';
import type { ExpectationResult } from '../../../sim/drill/expectation.ts';
import type { RuleResult } from '../../../sim/judge/rules.ts';
import type { Trace } from '../../../sim/judge/trace.ts';
import type { PollReport } from '../../../sim/poll-report/index.ts';
import type { Fact } from '../../events/index.ts';

export interface DrillVerdict {
  readonly name: string;
  readonly file: string;
  readonly seed: number;
  /** The rig that was named in the place of the drill's own. */
  readonly rigGiven?: string;
  /** `builtin`, `external` or `exec:COMMAND`. */
  readonly controller: string;
  readonly host: 'virtual' | 'live';
  /** What else the command of a live run was given, word by word. */
  readonly liveOptions: readonly string[];
  readonly verdict: 'held' | 'broken';
  /** Of the rules that the drill lists, in the order of the judge. */
  readonly rules: readonly RuleResult[];
  readonly expectations: readonly ExpectationResult[];
  /** Why the run itself failed, such as a controller that hung: sentences and its last lines. */
  readonly trouble: readonly string[];
  /** What the drill asks for and nobody did, such as a power step, each with the reason. */
  readonly leftOut: readonly string[];
  /** Why the run shows too little to have held, whatever was judged of it; null where it does not. */
  readonly shortfall: keyof typeof SHORTFALLS | null;
  /** Said of the run: what was left out, what fell short, and what concerns no verdict. */
  readonly notes: readonly string[];
  /** What a controller of somebody else asked over the wire; null for any other. */
  readonly pollReport: PollReport | null;
  readonly drill: Drill;
  readonly trace: Trace;
  /** What the built-in supervisor stated; empty for other controllers. */
  readonly facts: readonly Fact[];
}

export type VerdictParts = Omit<DrillVerdict, 'verdict' | 'name' | 'file' | 'shortfall'>;

/** In full, and in the few words of an overview. */
export const SHORTFALLS = {
  incomplete: {
    says: 'Not all that this drill asks for was done, so it has not shown what it is for.',
    words: 'not all of it was done',
  },
  empty: {
    says: 'Nothing that this drill lists was exercised, so it shows nothing: lengthen it or add steps.',
    words: 'nothing was exercised',
  },
} as const;

export function verdictOf(parts: VerdictParts): DrillVerdict {
  const { drill, expectations, trouble, leftOut, notes } = parts;
  const rules = parts.rules.filter((rule) => drill.rules.includes(rule.id));
  // A run that failed may have nothing to judge; any other has a result for all that was asked.
  if (trouble.length === 0) mustBeJudged(drill, rules, expectations);
  const shortfall = shortfallOf(parts, rules);
  const broken =
    shortfall !== null ||
    trouble.length > 0 ||
    rules.some((rule) => rule.result === 'broken') ||
    expectations.some((expectation) => expectation.result === 'broken');
  return {
    ...parts,
    name: drill.name,
    file: drill.file,
    rules,
    verdict: broken ? 'broken' : 'held',
    // A controller's last lines may be painted for a terminal that is not there.
    trouble: trouble.map(stripVTControlCharacters),
    shortfall,
    notes: [...leftOut, ...(shortfall === null ? [] : [SHORTFALLS[shortfall].says]), ...notes],
  };
}

/** Whether it was decided that way by evidence: neither held nor broken says nothing. */
export function isExercised({ result }: RuleResult): boolean {
  return result === 'held' || result === 'broken';
}

/** A run that failed says so itself; what was left out explains why nothing was exercised. */
function shortfallOf(
  { drill, trouble, leftOut }: VerdictParts,
  rules: readonly RuleResult[],
): DrillVerdict['shortfall'] {
  if (trouble.length > 0) return null;
  if (leftOut.length > 0) return 'incomplete';
  return showsNothing(drill, rules) ? 'empty' : null;
}

/** A drill may list no rule at all and expect something instead; then the expectation is what it shows. */
function showsNothing(drill: Drill, rules: readonly RuleResult[]): boolean {
  if (drill.rules.length === 0) return drill.expectations.length === 0;
  return !rules.some(isExercised);
}

function mustBeJudged(
  drill: Drill,
  rules: readonly RuleResult[],
  expectations: readonly ExpectationResult[],
): void {
  const missing = drill.rules.filter((id) => !rules.some((rule) => rule.id === id));
  if (missing.length > 0) throw new Error(`no result for ${missing.join(', ')}`);
  const [asked, told] = [drill.expectations.length, expectations.length];
  if (asked !== told) throw new Error(`${told} results for ${asked} expectations`);
}
