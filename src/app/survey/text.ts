/** A survey as a person at a terminal reads it: who is where, then what differs and what to do. */
import { formatGas } from '../../units/index.ts';
import { plain, wrapped } from '../report/text-lines.ts';
import { aligned, type TextOptions, textSheet } from '../report/text-sheet.ts';
import { CAUTION } from '../report/words.ts';
import { countOf, resultWords, type SurveyRow } from './rows.ts';
import { type SurveyResult, unitsText } from './survey-result.ts';

const HEADS = ['line', 'unit', 'sensor', 'serial', 'state', 'gas', 'result'] as const;

export function surveyText({ rig, lines, rows, differences }: SurveyResult, options: TextOptions): string {
  const { width, paint } = textSheet(options);
  const cells = rows.map(cellsOf);
  const table = aligned([HEADS, ...cells]).map((padded, index) => {
    const line = padded.trimEnd();
    return rows[index - 1]?.result === 'differs' ? paint('red', line) : line;
  });
  return [
    ...wrapped(`${plain(rig.name)}: ${countOf(rows)}`, width),
    ...lines.flatMap(({ line, address, units }) =>
      wrapped(`line ${line} at ${address}, units ${unitsText(units)}; read only`, width, '  ', '  '),
    ),
    '',
    ...table,
    '',
    ...differences.flatMap(({ title, text, advice }) => [
      ...wrapped(`${title}: ${plain(text)}`, width),
      ...wrapped(`→ ${plain(advice)}`, width, '  ', '  '),
    ]),
    ...(differences.length > 0 ? [''] : []),
    ...wrapped(CAUTION, width),
    '',
  ].join('\n');
}

function cellsOf(row: SurveyRow): readonly string[] {
  const { line, unitId, sensor, serial, state, result } = row;
  return [
    line ?? '-',
    unitId === null ? '-' : String(unitId),
    sensor ?? '(nobody)',
    serial === '' ? '-' : plain(serial),
    state === '' ? '-' : state,
    state === '' ? '-' : formatGas(row.gasPercentLfl),
    result === 'no address' ? row.profile : resultWords(row),
  ];
}
