/** The sheet: does it fit, the bar, its items with their sources, lines, limits, and what would help. */
import type { Item, Suggestion } from '../../budget/index.ts';
import { Document, MadeBy } from '../report/html/document.tsx';
import { ResultMark } from '../report/html/result-mark.tsx';
import { Table } from '../report/html/table.tsx';
import type { Made } from '../report/made.ts';
import { Bar } from './bar.tsx';
import {
  adviceSentence,
  assumedText,
  type BudgetResult,
  CYCLE_WORDS,
  figureText,
  LINE_HEADS,
  limitName,
  lineCells,
  standing,
  timeText,
} from './result.ts';

interface SheetProps {
  readonly result: BudgetResult;
  readonly made: Made;
}

export function BudgetSheet({ result, made }: SheetProps) {
  const { rig, budget } = result;
  return (
    <Document title={`Budget: ${rig.name}`} made={made} ownStyle="src/app/budget/sheet.css">
      <header class="report-title">
        <div>
          <h1>Time budget</h1>
          <MadeBy made={made} />
        </div>
      </header>
      <section class={budget.fits ? 'plate verdict' : 'plate verdict verdict-broken'}>
        <h2>
          {rig.name} {standing(budget)}
        </h2>
        <p class="quiet">{assumedText(budget.assumptions)}</p>
      </section>
      <section class="plate">
        <h2>From a step to the LFL to mitigation, at worst: {budget.response.sensor}</h2>
        <Bar response={budget.response} respondWithinMs={rig.policy.respondWithinMs} />
        <Items items={budget.response.items} />
      </section>
      <section class="plate">
        <h2>Bus time of one cycle</h2>
        <Table label="Bus time of one cycle" heads={LINE_HEADS}>
          {budget.lines.map((line) => (
            <Cells key={line.id} cells={lineCells(line)} />
          ))}
        </Table>
        <p class="quiet">{CYCLE_WORDS}</p>
      </section>
      <Limits result={result} />
      <Advice result={result} />
    </Document>
  );
}

function Items({ items }: { readonly items: readonly Item[] }) {
  return (
    <Table label="Items of the response time" heads={['Item', 'Time', 'How', 'From']}>
      {items.map(({ id, name, ms, formula, source }, index) => (
        <tr key={id}>
          <th scope="row">
            {index + 1}. {name}
          </th>
          <td class="figure">{timeText(ms)}</td>
          <td>{formula}</td>
          <td>{source}</td>
        </tr>
      ))}
    </Table>
  );
}

/** Words before may be broken, so that the table fits on paper. */
const FIGURES_FROM = 4;

function Cells({ cells: [name, ...others] }: { readonly cells: readonly string[] }) {
  return (
    <tr>
      <th scope="row">{name}</th>
      {others.map((cell, index) => (
        <td key={index} class={index < FIGURES_FROM ? undefined : 'figure'}>
          {cell}
        </td>
      ))}
    </tr>
  );
}

function Limits({ result: { budget } }: { readonly result: BudgetResult }) {
  return (
    <section class="plate">
      <h2>Limits</h2>
      <Table label="Limits" heads={['Limit', 'Result', 'Needs', 'Has']}>
        {budget.limits.map((limit) => (
          <tr key={limitName(limit)}>
            <th scope="row">
              {limitName(limit)}: <span class="words">{limit.what}</span>
              <span class="source">{limit.source}</span>
            </th>
            <td>
              <ResultMark result={limit.fits ? 'held' : 'broken'} />
            </td>
            <td class="figure">{timeText(limit.needMs)}</td>
            <td class="figure">{timeText(limit.limitMs)}</td>
          </tr>
        ))}
      </Table>
    </section>
  );
}

function Advice({ result }: { readonly result: BudgetResult }) {
  const sentence = adviceSentence(result);
  if (sentence === null) return null;
  return (
    <section class="plate">
      <h2>What would help</h2>
      <p>{sentence}</p>
      {result.advice.length > 0 && (
        <Table label="What would help" heads={['Change', 'Every limit met', 'What it would give']}>
          {result.advice.map((one) => (
            <Change key={one.words} suggestion={one} />
          ))}
        </Table>
      )}
    </section>
  );
}

function Change({ suggestion: { words, costs, fits, figures } }: { readonly suggestion: Suggestion }) {
  return (
    <tr>
      <th scope="row">
        {words}
        {costs.map((cost) => (
          <span key={cost} class="source">
            but {cost}
          </span>
        ))}
      </th>
      <td>{fits ? 'yes' : 'no'}</td>
      <td>
        {figures.map((figure) => (
          <div key={figure.id}>{figureText(figure)}</div>
        ))}
      </td>
    </tr>
  );
}
