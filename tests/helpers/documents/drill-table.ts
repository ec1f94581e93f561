/** The table of shipped drills in the guide for QA, in the order of their files. */
import { readDocument } from './parts.ts';

interface DrillRow {
  readonly id: string;
  readonly file: string;
  readonly name: string;
  readonly exercises: string;
}

const ROW = /^\| \[`(.+?)`\]\((.+?)\)\s*\| (.+?)\s*\| (.+?)\s*\|$/gmu;

export function drillTable(): readonly DrillRow[] {
  return [...readDocument('src/guides/qa.md').matchAll(ROW)]
    .map(([, id = '', file = '', name = '', exercises = '']) => ({ id, file, name, exercises }))
    .toSorted((a, b) => (`${a.id}.` < `${b.id}.` ? -1 : 1));
}
