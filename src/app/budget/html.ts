/** `budget --html`: one file with the bar, the figures, the limits and what would help. */
import { rendered } from '../report/html/rendered.ts';
import { type Made, madeHere } from '../report/made.ts';
import type { BudgetResult } from './result.ts';

export async function budgetHtml(result: BudgetResult, made: Made = madeHere()): Promise<string> {
  const sheet = import('./sheet.tsx').then(({ BudgetSheet }) => BudgetSheet);
  return rendered(sheet, { result, made });
}
