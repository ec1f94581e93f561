/** A survey that was carried out, before it becomes text, JSON, CSV or a sheet. */
import type { Rig } from '../../rig/index.ts';
import type { Difference } from '../../survey/index.ts';
import type { SurveyRow } from './rows.ts';

export interface SurveyResult {
  readonly rig: Rig;
  readonly at: Date;
  readonly lines: readonly SurveyedLine[];
  readonly rows: readonly SurveyRow[];
  readonly differences: readonly Difference[];
}

export interface SurveyedLine {
  readonly line: string;
  readonly address: string;
  readonly units: readonly number[];
}

/** [1, 2, 3, 9] → "1–3, 9". */
export function unitsText(units: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const unit of units) {
    const last = runs.at(-1);
    if (last?.[1] === unit - 1) last[1] = unit;
    else runs.push([unit, unit]);
  }
  return runs.map(([from, to]) => (from === to ? String(from) : `${from}–${to}`)).join(', ');
}
