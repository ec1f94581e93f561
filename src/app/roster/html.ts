/** `roster --html`: the maintenance checklist, one file to print, tick and sign. */
import { rendered } from '../report/html/rendered.ts';
import { type Made, madeHere } from '../report/made.ts';
import type { RosterResult } from './result.ts';

export async function rosterHtml(result: RosterResult, made: Made = madeHere()): Promise<string> {
  const sheet = import('./sheet.tsx').then(({ Checklist }) => Checklist);
  return rendered(sheet, { result, made });
}
