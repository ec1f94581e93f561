/** `survey --html`: the commissioning sheet, one file to print and sign. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../../files/index.ts';
import { type Made, madeHere } from '../report/made.ts';
import type { SurveyResult } from './survey-result.ts';

/** Loads what draws only when it is asked for. */
export async function surveyHtml(result: SurveyResult, made: Made = madeHere()): Promise<string> {
  const [{ h }, { renderToString }, { CommissioningSheet }, { reportStyle }] = await Promise.all([
    import('preact'),
    import('preact-render-to-string'),
    import('./sheet.tsx'),
    import('../report/html/style.ts'),
  ]);
  const own = readFileSync(join(packageRoot(), 'src/app/survey/sheet.css'), 'utf8');
  return `<!doctype html>\n${renderToString(h(CommissioningSheet, { result, made, style: reportStyle() + own }))}\n`;
}
