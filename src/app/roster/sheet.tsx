/** The maintenance checklist: what is due first, then each sensor with boxes to tick and room to write. */
import { Fragment } from 'preact';
import { Document, MadeBy } from '../report/html/document.tsx';
import { Table } from '../report/html/table.tsx';
import type { Made } from '../report/made.ts';
import {
  ageText,
  alarmText,
  type Concern,
  concernsOf,
  dueText,
  partText,
  type RosterResult,
  selfTestText,
  serialText,
  standingText,
  sumText,
} from './result.ts';
import type { RosterRow } from './rows.ts';
import { ROUND, type Task, tasksFor } from './tasks.ts';
import { sourceLines } from './text.ts';

interface ChecklistProps {
  readonly result: RosterResult;
  readonly made: Made;
}

export function Checklist({ result, made }: ChecklistProps) {
  const { rig, today, rows, data, record } = result;
  return (
    <Document title={`Maintenance checklist: ${rig.name}`} made={made} ownStyle="src/app/roster/sheet.css">
      <header class="report-title">
        <div>
          <h1>Maintenance checklist</h1>
          <p>
            {rig.name}, {rig.refrigerant.name}
          </p>
          <MadeBy made={made} />
        </div>
        <p class="report-sum">
          {today}. {sumText(rows)}
        </p>
      </header>
      <Overview rows={rows} concerns={concernsOf(rows)} />
      {rows.map((row) => (
        <SensorCard key={row.sensor} row={row} />
      ))}
      <SignOff />
      <section class="plate">
        <h2>Who asks for what</h2>
        <ul class="roster-sources">
          <li>What is to do at a sensor: common practice, no source, unless a source stands beside it.</li>
          {sourceLines().map((line) => (
            <li key={line}>{line}</li>
          ))}
          <li>
            Last self-test and last alarm are from{' '}
            {record.folders.length === 0 ? `${data}, where there is no record` : record.folders.join(', ')}:
            what leakbench recorded, and nothing else. No record says nothing about a sensor.
          </li>
          {record.problems.map((problem) => (
            <li key={problem}>
              <strong>Not read:</strong> {problem}
            </li>
          ))}
        </ul>
      </section>
    </Document>
  );
}

const HEADS = ['Sensor', 'Place', 'Address', 'Serial', 'Age', 'Life', 'Check'];

function Overview({
  rows,
  concerns,
}: {
  readonly rows: readonly RosterRow[];
  readonly concerns: readonly Concern[];
}) {
  return (
    <section class="plate">
      <h2>Overview</h2>
      <Table label="Overview" heads={HEADS}>
        {rows.map((row) => (
          <tr key={row.sensor}>
            <th scope="row">{row.sensor}</th>
            <td>{row.place}</td>
            <td>{row.address}</td>
            <td class="figure">{serialText(row)}</td>
            <td class="figure">{ageText(row)}</td>
            {[row.life, row.check].map((due) => (
              <td key={due.what} class={`figure standing-${due.standing.replace(' ', '-')}`}>
                {standingText(due)}
              </td>
            ))}
          </tr>
        ))}
      </Table>
      {concerns.length === 0 ? (
        <p class="quiet">Nothing is due.</p>
      ) : (
        <ul class="concerns">
          {concerns.map(({ sensor, word, text }) => (
            <li key={`${sensor} ${text}`}>
              <span class={`concern concern-${word.toLowerCase().replace(' ', '-')}`}>{word}</span>
              <span>
                <strong>{sensor}</strong>: {unbroken(text)}
              </span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function SensorCard({ row }: { readonly row: RosterRow }) {
  const { sensor, place, kind } = row;
  return (
    <section class="plate sensor-card" aria-label={`Sensor ${sensor}`}>
      <h2>
        {sensor} <span class="quiet">{place}</span>
      </h2>
      <div class="sensor-halves">
        <dl class="facts">
          {factsOf(row).map(([name, text]) => (
            <Fragment key={name}>
              <dt>{name}</dt>
              <dd class={/^OVERDUE|^UNKNOWN|^FAILED/u.test(text) ? 'presses' : undefined}>
                {unbroken(text)}
              </dd>
            </Fragment>
          ))}
        </dl>
        <ul class="tasks">
          {tasksFor(kind).map((task) => (
            <TaskLine key={task.text} task={task} />
          ))}
        </ul>
      </div>
      <Hand fields={['Found']} wide />
      <Hand fields={['Date', 'Name', 'Signature']} />
    </section>
  );
}

function factsOf(row: RosterRow): readonly (readonly [string, string])[] {
  const { address, installed, check, life, replaced } = row;
  return [
    ['Part', partText(row)],
    ['Serial', serialText(row)],
    ['Address', address],
    ['Installed', installed ?? 'unknown'],
    ['Check', dueText(check)],
    ['Service life', dueText(life)],
    ['Last self-test', selfTestText(row)],
    ['Last alarm', alarmText(row)],
    ...(replaced === null
      ? []
      : [
          [
            'Replaced',
            `${replaced.time.slice(0, 10)} by ${replaced.by}, serial ${replaced.oldSerial ?? 'unknown'} before`,
          ] as const,
        ]),
  ];
}

function TaskLine({ task: { text, source } }: { readonly task: Task }) {
  return (
    <li>
      <span class="boxes" aria-hidden="true">
        <span class="box" /> ok <span class="box" /> not ok
      </span>
      <span>
        {text}
        {source !== null && <span class="source">{source}</span>}
      </span>
    </li>
  );
}

/** On paper no day is cut in two. */
function unbroken(text: string): string {
  return text.replaceAll(/(?<=\d)-(?=\d)/gu, '\u2011');
}

/** Lines to write on. */
function Hand({ fields, wide }: { readonly fields: readonly string[]; readonly wide?: true }) {
  return (
    <div class={wide ? 'hand hand-wide' : 'hand'}>
      {fields.map((field) => (
        <span key={field} class="hand-field">
          {field}
        </span>
      ))}
    </div>
  );
}

function SignOff() {
  return (
    <section class="plate sign-off">
      <h2>The round as a whole</h2>
      <ul class="tasks">
        {ROUND.map((task) => (
          <TaskLine key={task.text} task={task} />
        ))}
      </ul>
      <Hand fields={['Reference gas, bottle no.', 'Good until']} />
      <Hand fields={['Date', 'Name', 'Signature']} />
    </section>
  );
}
