/** A survey as comma-separated values (RFC 4180): one row a sensor, and one for each whom nobody planned. */
import type { SurveyRow } from './rows.ts';
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
  ['result', ({ result }) => result],
  ['differences', ({ differences }) => differences.map(({ text }) => text).join('; ')],
  ['what to do', ({ differences }) => differences.map(({ advice }) => advice).join('; ')],
];

const LINE_END = '\r\n';

export function surveyCsv({ rows }: Pick<SurveyResult, 'rows'>): string {
  const lines = [
    COLUMNS.map(([name]) => name),
    ...rows.map((row) => COLUMNS.map(([, cell]) => cell(row) ?? '')),
  ];
  return lines.map((cells) => cells.map(field).join(',') + LINE_END).join('');
}

/** In quotes where it holds one, a comma or a line end; a quote is doubled. */
function field(cell: string | number): string {
  const text = String(cell);
  return /[",\r\n]/u.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
