/** How a drill was judged: the verdict, then each rule and each expectation with its reason. */
import { formatClock } from '../../units/format.ts';
import { Mark, type MarkKind } from '../parts/mark.tsx';
import { Table } from '../parts/table.tsx';
import { useAnswer } from '../parts/use-answer.ts';
import { R, T } from '../texts/index.ts';
import type { DrillReport } from '../types.ts';

export function Verdict() {
  const got = useAnswer((api) => api.drill(), []).value;
  if (got === null) return <p class="quiet">{T.loading}</p>;
  if (!got.ok) return <p class="elsewhere">{got.text}</p>;
  const { verdict, notes, rules, expectations } = got.value;
  return (
    <div class="verdict">
      {verdict !== null && (
        <p class={`verdict-word is-${verdict}`}>
          <Mark kind={markOf(verdict)} /> {R.verdicts[verdict]}
        </p>
      )}
      {notes.map((note) => (
        <p key={note}>{note}</p>
      ))}
      {rules.length > 0 && <Rules rules={rules} />}
      {expectations.length > 0 && <Expectations expectations={expectations} />}
    </div>
  );
}

function Rules({ rules }: Pick<DrillReport, 'rules'>) {
  return (
    <Table name={R.rules} columns={R.columns}>
      {rules.map((rule) => (
        <tr key={rule.id}>
          <th scope="row">{rule.id}</th>
          <Result result={rule.result} />
          <td class="figure">{rule.margin === null ? R.nothing : R.margin(rule.margin, rule.unit)}</td>
          <td class="figure">
            {rule.atMs === null ? R.nothing : formatClock(rule.atMs)} {rule.sensor}
          </td>
          <td class="because">{rule.because.join(' ')}</td>
        </tr>
      ))}
    </Table>
  );
}

function Expectations({ expectations }: Pick<DrillReport, 'expectations'>) {
  return (
    <Table name={R.expectations} columns={R.expectationColumns}>
      {expectations.map(({ text, result, because }) => (
        <tr key={text}>
          <th scope="row">{text}</th>
          <Result result={result} />
          <td class="because">{because.join(' ')}</td>
        </tr>
      ))}
    </Table>
  );
}

function Result({ result }: { readonly result: string }) {
  return (
    <td class={result === 'broken' ? 'result is-broken' : 'result'}>
      <Mark kind={markOf(result)} /> {result}
    </td>
  );
}

function markOf(result: string): MarkKind {
  if (result === 'held') return 'good';
  return result === 'broken' ? 'alarm' : 'trace';
}
