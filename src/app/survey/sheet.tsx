/** The commissioning sheet: what was planned, what answered, and room for a person's hand. */
import { formatGas } from '../../units/index.ts';
import { Document, MadeBy } from '../report/html/document.tsx';
import { Table } from '../report/html/table.tsx';
import type { Made } from '../report/made.ts';
import { countOf, resultWords, type SurveyRow } from './rows.ts';
import { type SurveyResult, unitsText } from './survey-result.ts';

interface SheetProps {
  readonly result: SurveyResult;
  readonly made: Made;
}

const HEADS = [
  'Sensor',
  'Place',
  'Line, unit',
  'Profile',
  'Serial',
  'Setpoint',
  'Refrigerant',
  'State',
  'Result',
  'Name',
  'Date',
  'Signature',
];
/** Filled in by hand. */
const BY_HAND = ['name', 'date', 'signature'];

export function CommissioningSheet({ result, made }: SheetProps) {
  const { rig, rows, lines, differences } = result;
  return (
    <Document title={`Commissioning sheet: ${rig.name}`} made={made} ownStyle="src/app/survey/sheet.css">
      <header class="report-title">
        <div>
          <h1>Commissioning sheet</h1>
          <p>{rig.name}</p>
          <MadeBy made={made} />
        </div>
        <p class="report-sum">{countOf(rows)}</p>
      </header>
      <section class="plate">
        <h2>Sensors</h2>
        <p class="quiet">
          {lines
            .map(({ line, address, units }) => `Line ${line} at ${address}, units ${unitsText(units)}`)
            .join('; ')}
          {'. '}What is in brackets is planned and was not seen.
        </p>
        <Table label="Sensors" heads={HEADS}>
          {rows.map((row) => (
            <Row key={`${row.line} ${row.unitId} ${row.sensor}`} row={row} />
          ))}
        </Table>
      </section>
      {differences.length > 0 && (
        <section class="plate">
          <h2>Differences</h2>
          <ol class="sheet-differences">
            {differences.map(({ title, text, advice }) => (
              <li key={text}>
                <strong>{title}</strong>: {text}. <span class="quiet">To do: {advice}.</span>
              </li>
            ))}
          </ol>
        </section>
      )}
    </Document>
  );
}

function Row({ row }: { readonly row: SurveyRow }) {
  const { line, unitId, sensor, place, profile, refrigerant, setpointPercentLfl, state, result } = row;
  return (
    <tr class={result === 'differs' ? 'sheet-differs' : undefined}>
      <th scope="row">{sensor ?? 'not planned'}</th>
      <td>{place}</td>
      <td class="figure">{unitId === null ? '' : `${line}, ${unitId}`}</td>
      <td>{sensor === null ? row.who : profile}</td>
      <td class="figure">{serialText(row)}</td>
      <td class="figure">{setpointPercentLfl === null ? '' : formatGas(setpointPercentLfl)}</td>
      <td>{refrigerant}</td>
      <td class={state === 'failed' || state === 'gas' ? 'sheet-warns' : undefined}>{state}</td>
      <td>{resultText(row)}</td>
      {BY_HAND.map((what) => (
        <td key={what} class={`by-hand by-hand-${what}`} />
      ))}
    </tr>
  );
}

function serialText({ serial, plannedSerial }: SurveyRow): string {
  if (serial === '') return plannedSerial === '' ? '' : `(${plannedSerial})`;
  return serial;
}

function resultText(row: SurveyRow): string {
  return row.result === 'no address' ? 'no address; test it by hand' : resultWords(row);
}
