/** `figures --html`: one file with every figure and the curves of the bench. */
import { rendered } from '../report/html/rendered.ts';
import { type Made, madeHere } from '../report/made.ts';
import type { FiguresResult } from './result.ts';

export async function figuresHtml(result: FiguresResult, made: Made = madeHere()): Promise<string> {
  const sheet = import('./sheet.tsx').then(({ FiguresSheet }) => FiguresSheet);
  return rendered(sheet, { result, made });
}
