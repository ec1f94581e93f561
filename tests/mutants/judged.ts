/** Runs of a drill, judged. */
import { type Drill, expectationResults } from '../../sim/drill/index.ts';
import { judge } from '../../sim/judge/index.ts';
import type { RuleId, RuleResult } from '../../sim/judge/rules.ts';
import type { Partner } from '../../src/app/drill/exec-controller.ts';
import { judgedPolicy } from '../../src/app/drill/judged-policy.ts';
import { type DrillRun, runBuiltIn, runInLines } from '../../src/app/drill/run.ts';

export interface Judged {
  readonly results: readonly RuleResult[];
  readonly broken: readonly RuleId[];
  readonly exercised: readonly RuleId[];
  /** Broken rules and expectations, run troubles, steps left out: each with its words. */
  readonly complaints: readonly string[];
}

const SEED = 1;

export async function inLines(drill: Drill, start: () => Partner): Promise<Judged> {
  return judged(drill, await runInLines(drill, SEED, start));
}

export function builtIn(drill: Drill): Judged {
  return judged(drill, runBuiltIn(drill, SEED));
}

export function judged(
  drill: Drill,
  { trace, trouble, leftOut }: Pick<DrillRun, 'trace' | 'trouble' | 'leftOut'>,
): Judged {
  const results = judge(trace, judgedPolicy(drill.rig), drill.rules);
  const broken = results.filter(({ result }) => result === 'broken');
  const expected = expectationResults(drill.expectations, trace);
  return {
    results,
    broken: broken.map(({ id }) => id),
    exercised: results.filter(({ result }) => result === 'held' || result === 'broken').map(({ id }) => id),
    complaints: [
      ...broken.map(({ id, because }) => `${id}: ${because.join(' ')}`),
      ...expected
        .filter(({ result }) => result === 'broken')
        .map(({ text, because }) => `${text}: ${because.join(' ')}`),
      ...trouble,
      ...leftOut,
    ],
  };
}
