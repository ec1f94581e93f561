/**
 * `--html`: one file that needs nothing else, to read on a screen, to print, to hand on.
 */

import { rendered } from './html/rendered.ts';
import { type Made, madeHere } from './made.ts';
import type { DrillVerdict } from './verdict.ts';

export async function reportHtml(
  verdicts: readonly DrillVerdict[],
  made: Made = madeHere(),
): Promise<string> {
  const report = import('./html/report.tsx').then(({ Report }) => Report);
  return rendered(report, { verdicts, made });
}
