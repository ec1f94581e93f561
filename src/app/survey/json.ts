/** `survey --json`: one document. */
import { CAUTION } from '../report/words.ts';
import type { SurveyResult } from './survey-result.ts';

export function surveyJson({ rig, at, lines, rows, differences }: SurveyResult): string {
  const document = {
    rig: rig.name,
    file: rig.file,
    surveyedAt: at.toISOString(),
    asPlanned: differences.length === 0,
    lines,
    units: rows.map(({ differences: own, ...row }) => ({ ...row, differences: own.map(({ kind }) => kind) })),
    differences,
    caution: CAUTION,
  };
  return `${JSON.stringify(document, null, 2)}\n`;
}
