/** `figures --html`: one file with every figure and the curves of the bench. */
import { type Made, madeHere } from '../report/made.ts';
import type { FiguresResult } from './result.ts';

/** Loads what draws only when it is asked for. */
export async function figuresHtml(result: FiguresResult, made: Made = madeHere()): Promise<string> {
  const [{ h }, { renderToString }, { FiguresSheet }, { reportStyle }] = await Promise.all([
    import('preact'),
    import('preact-render-to-string'),
    import('./sheet.tsx'),
    import('../report/html/style.ts'),
  ]);
  return `<!doctype html>\n${renderToString(h(FiguresSheet, { result, made, style: reportStyle() }))}\n`;
}
