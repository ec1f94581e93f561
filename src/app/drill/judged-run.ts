/** A drill that has been run, judged by its trace: for the command and for the bench alike. */
import { type Drill, expectationResults } from '../../../sim/drill/index.ts';
import { judgement } from '../../../sim/judge/index.ts';
import { type DrillVerdict, type VerdictParts, verdictOf } from '../report/verdict.ts';
import { judgedPolicy } from './judged-policy.ts';
import type { DrillRun } from './run.ts';

export type RunBy = Pick<VerdictParts, 'seed' | 'controller' | 'host' | 'liveOptions' | 'rigGiven'>;

/** `notes`: what else is said of it. */
export function judgedRun(
  drill: Drill,
  { heldUp, ...run }: DrillRun,
  by: RunBy,
  notes: readonly string[] = [],
): DrillVerdict {
  const { trace } = run;
  // What a controller did not live to do cannot be judged.
  const failed = run.trouble.length > 0;
  const { rules, remarks } = failed
    ? { rules: [], remarks: [] }
    : judgement(trace, judgedPolicy(drill.rig), drill.rules);
  const verdict = verdictOf({
    ...run,
    ...by,
    notes: [...notes, ...remarks],
    drill,
    rules,
    expectations: failed ? [] : expectationResults(drill.expectations, trace),
  });
  // What held did so in spite of it.
  if (heldUp === null || verdict.verdict === 'held') return verdict;
  return { ...verdict, notes: [...verdict.notes, heldUp] };
}
