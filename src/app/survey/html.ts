/** `survey --html`: the commissioning sheet, one file to print and sign. */
import { rendered } from '../report/html/rendered.ts';
import { type Made, madeHere } from '../report/made.ts';
import type { SurveyResult } from './survey-result.ts';

export async function surveyHtml(result: SurveyResult, made: Made = madeHere()): Promise<string> {
  const sheet = import('./sheet.tsx').then(({ CommissioningSheet }) => CommissioningSheet);
  return rendered(sheet, { result, made });
}
