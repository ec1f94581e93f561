/** Several drills at a glance, each with the way to its own section. */
import { type DrillVerdict, isExercised } from '../verdict.ts';
import { whatBroke } from '../words.ts';
import { ResultMark } from './result-mark.tsx';
import { Table } from './table.tsx';

export function Overview({ verdicts }: { readonly verdicts: readonly DrillVerdict[] }) {
  return (
    <div class="plate">
      <h2>Overview</h2>
      <Table label="Overview" heads={['Drill', 'Verdict', 'What broke', 'Rules exercised', 'Seed']}>
        {verdicts.map((verdict, index) => (
          <tr key={index}>
            <th scope="row">
              <a href={`#drill-${index + 1}`}>{verdict.name}</a>
            </th>
            <td>
              <ResultMark result={verdict.verdict} />
            </td>
            <td>{whatBroke(verdict).join(', ') || 'nothing'}</td>
            <td class="figure">
              {verdict.rules.filter(isExercised).length} of {verdict.drill.rules.length}
            </td>
            <td class="figure">{verdict.seed}</td>
          </tr>
        ))}
      </Table>
    </div>
  );
}
