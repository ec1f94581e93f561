/** A survey as comma-separated values (RFC 4180): one row a sensor, and one for each whom nobody planned. */
import { csvText } from '../../text/csv.ts';
import { resultWords, type SurveyRow } from './rows.ts';
import type { SurveyResult } from './survey-result.ts';

const COLUMNS: readonly (readonly [string, (row: SurveyRow) => string | number | null])[] = [
  ['line', ({ line }) => line],
  ['unit', ({ unitId }) => unitId],
  ['sensor', ({ sensor }) => sensor],
  ['place', ({ place }) => place],
  ['profile', ({ profile }) => profile],
  ['planned serial', ({ plannedSerial }) => plannedSerial],
  ['answers', ({ who }) => who],
  ['serial', ({ serial }) => serial],
  ['refrigerant', ({ refrigerant }) => refrigerant],
  ['setpoint %LFL', ({ setpointPercentLfl }) => setpointPercentLfl],
  ['state', ({ state }) => state],
  ['gas %LFL', ({ gasPercentLfl }) => gasPercentLfl],
  ['result', resultWords],
  ['differences', ({ differences }) => differences.map(({ text }) => text).join('; ')],
  ['what to do', ({ differences }) => differences.map(({ advice }) => advice).join('; ')],
];

export function surveyCsv({ rows }: Pick<SurveyResult, 'rows'>): string {
  return csvText([COLUMNS.map(([name]) => name), ...rows.map((row) => COLUMNS.map(([, cell]) => cell(row)))]);
}
