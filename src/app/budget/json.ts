/** `budget --json`: everything, times in milliseconds; null where a time never comes. */
import { CAUTIONS } from '../cautions.ts';
import type { BudgetResult } from './result.ts';

export function budgetJson({ rig, budget, advice }: BudgetResult): string {
  const document = {
    rig: rig.name,
    file: rig.file,
    unit: 'ms',
    fits: budget.fits,
    assumptions: budget.assumptions,
    lines: budget.lines,
    response: budget.response,
    limits: budget.limits,
    advice,
    cautions: CAUTIONS,
  };
  // A time that never comes is no number in JSON: it is written as null.
  return `${JSON.stringify(document, null, 2)}\n`;
}
