/** The sheet: the case, how it stands, the curves of the bench, and every figure with its source. */
import { amountText, type Figure, type FigureGroup, wordsText } from '../../figures/index.ts';
import { Hatch } from '../../page/chart/picture.tsx';
import { Document, MadeBy } from '../report/html/document.tsx';
import { Table } from '../report/html/table.tsx';
import type { Made } from '../report/made.ts';
import { STEP_TITLE, stepFacts } from './bench-words.ts';
import { Curves } from './curves.tsx';
import { caseSentence, type FiguresResult, outsideSentence } from './result.ts';

interface SheetProps {
  readonly result: FiguresResult;
  readonly made: Made;
}

export function FiguresSheet({ result, made }: SheetProps) {
  const { rig, groups, outside } = result;
  return (
    <Document title={`Figures: ${rig.name}`} made={made}>
      <header class="report-title">
        <div>
          <h1>Figures</h1>
          <MadeBy made={made} />
        </div>
        <p class="report-sum">
          {outside.length === 0 ? 'outside no figure' : `outside ${outside.length} of the figures`}
        </p>
      </header>
      <Hatch />
      <section class={outside.length === 0 ? 'plate verdict' : 'plate verdict verdict-broken'}>
        <h2>{caseSentence(result)}</h2>
        <p>{outsideSentence(outside)}</p>
      </section>
      <Curves result={result} />
      <StepResponses result={result} />
      {groups.map((group) => (
        <Group key={group.id} group={group} result={result} />
      ))}
    </Document>
  );
}

function StepResponses({ result }: { readonly result: FiguresResult }) {
  const facts = stepFacts(result.rig);
  if (facts.length === 0) return null;
  return (
    <section class="plate">
      <h2>{STEP_TITLE}</h2>
      <Table label={STEP_TITLE} heads={['Sensor', 'Response']}>
        {facts.map(({ name, value }) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>{value}</td>
          </tr>
        ))}
      </Table>
    </section>
  );
}

const HEADS = ['Figure', 'Result', 'Formula and inputs', 'This case'];

function Group({ group, result }: { readonly group: FigureGroup; readonly result: FiguresResult }) {
  return (
    <section class="plate">
      <h2>{group.title}</h2>
      <p class="quiet">{group.about}</p>
      <Table label={group.title} heads={HEADS}>
        {group.figures.map((figure) => (
          <Row key={figure.id} figure={figure} result={result} />
        ))}
      </Table>
    </section>
  );
}

function Row({ figure, result: { units } }: { readonly figure: Figure; readonly result: FiguresResult }) {
  const { name, standard, sure, formula, inputs, result, standing, words } = figure;
  return (
    <tr>
      <th scope="row">
        {name}
        <span class="source">
          {standard} ({sure})
        </span>
      </th>
      <td class="figure">{result === null ? 'no figure' : amountText(result, units)}</td>
      <td>
        {formula}
        <span class="source">
          {inputs.map((one) => `${one.name} ${amountText(one.amount, units)}`).join(', ')}
        </span>
      </td>
      <td class={standing === 'outside' ? 'result-broken' : undefined}>
        {standing === 'outside' && 'outside: '}
        {wordsText(words, units)}
      </td>
    </tr>
  );
}
