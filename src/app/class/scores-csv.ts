/** Scores of a class as comma-separated values: a row a lesson and seat, a column a question. */
import type { ScoreRow } from '../../class/index.ts';
import { csvText } from '../../text/csv.ts';

const COLUMNS: readonly (readonly [string, (row: ScoreRow) => string | number])[] = [
  ['lesson', ({ lesson }) => lesson],
  ['name', ({ seat }) => seat],
  ['answered', ({ answered }) => (answered ? 'yes' : 'no')],
  ['what is wrong', ({ score }) => score.causes],
  ['where', ({ score }) => score.where],
  ['what to do next', ({ score }) => score.next],
  ['may it be restarted', ({ score }) => score.restart],
  ['total', ({ score }) => score.total],
];

export function scoresCsv(scores: readonly ScoreRow[]): string {
  return csvText([
    COLUMNS.map(([name]) => name),
    ...scores.map((row) => COLUMNS.map(([, cell]) => cell(row))),
  ]);
}
