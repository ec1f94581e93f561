/** `budget --html`: one file with the bar, the figures, the limits and what would help. */
import { type Made, madeHere } from '../report/made.ts';
import type { BudgetResult } from './result.ts';

/** Loads what draws only when it is asked for. */
export async function budgetHtml(result: BudgetResult, made: Made = madeHere()): Promise<string> {
  const [{ h }, { renderToString }, { BudgetSheet }, { reportStyle }] = await Promise.all([
    import('preact'),
    import('preact-render-to-string'),
    import('./sheet.tsx'),
    import('../report/html/style.ts'),
  ]);
  return `<!doctype html>\n${renderToString(h(BudgetSheet, { result, made, style: reportStyle() }))}\n`;
}
