/**
 * `--html`: one file that needs nothing else, to read on a screen, to print, to hand on.
 */

import { type Made, madeHere } from './made.ts';
import type { DrillVerdict } from './verdict.ts';

/** Loads what draws only when it is asked for: most drills are run without it. */
export async function reportHtml(
  verdicts: readonly DrillVerdict[],
  made: Made = madeHere(),
): Promise<string> {
  const [{ h }, { renderToString }, { Report }] = await Promise.all([
    import('preact'),
    import('preact-render-to-string'),
    import('./html/report.tsx'),
  ]);
  return `<!doctype html>\n${renderToString(h(Report, { verdicts, made }))}\n`;
}
