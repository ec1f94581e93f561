/** A roster as comma-separated values (RFC 4180): one row a sensor. */
import { csvText } from '../../text/csv.ts';
import { concernsOf, NO_RECORD, noSelfTest, type RosterResult } from './result.ts';
import type { RosterRow } from './rows.ts';

const UNKNOWN = 'unknown';

/** In words where nothing is known: an empty cell would be taken for nothing to tell. */
const COLUMNS: readonly (readonly [string, (row: RosterRow) => string | number])[] = [
  ['sensor', ({ sensor }) => sensor],
  ['kind', ({ kind }) => kind],
  ['place', ({ place }) => place],
  ['part', ({ part }) => part ?? UNKNOWN],
  ['profile', ({ profile }) => profile ?? 'none'],
  ['serial', ({ serial }) => serial ?? UNKNOWN],
  ['address', ({ address }) => address],
  ['installed', ({ installed }) => installed ?? UNKNOWN],
  ['age days', ({ ageDays }) => (ageDays === null ? UNKNOWN : Math.floor(ageDays))],
  ['life days', ({ lifeDays }) => lifeDays],
  ['life days left', ({ life }) => life.daysLeft ?? UNKNOWN],
  ['life', ({ life }) => life.standing],
  ['check every days', ({ checkEveryDays }) => checkEveryDays],
  ['last checked', ({ checked }) => checked ?? UNKNOWN],
  ['check due', ({ check }) => check.day ?? UNKNOWN],
  ['check', ({ check }) => check.standing],
  ['last self-test', (row) => row.selfTest?.result ?? noSelfTest(row)],
  ['self-test time', ({ selfTest }) => selfTest?.time ?? ''],
  ['self-test bench ms', ({ selfTest }) => selfTest?.atMs ?? ''],
  ['last alarm', ({ alarm }) => alarm?.text ?? NO_RECORD],
  ['alarm time', ({ alarm }) => alarm?.time ?? ''],
  ['alarm bench ms', ({ alarm }) => alarm?.atMs ?? ''],
  ['replaced', ({ replaced }) => replaced?.time ?? NO_RECORD],
  ['replaced by', ({ replaced }) => replaced?.by ?? ''],
  [
    'to do',
    (row) =>
      concernsOf([row])
        .map(({ word, text }) => `${word}: ${text}`)
        .join('; '),
  ],
];

export function rosterCsv({ rows }: Pick<RosterResult, 'rows'>): string {
  return csvText([COLUMNS.map(([name]) => name), ...rows.map((row) => COLUMNS.map(([, cell]) => cell(row)))]);
}
