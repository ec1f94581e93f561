/** Every rule that the drill lists, what came of it, and who asks for it. */
import { RULES, type RuleResult } from '../../../../sim/judge/rules.ts';
import { isExercised } from '../verdict.ts';
import { byConcern, marginText, momentText, TIER_WORDS } from '../words.ts';
import { ResultMark } from './result-mark.tsx';
import { Table } from './table.tsx';

interface RulesTableProps {
  readonly rules: readonly RuleResult[];
  readonly number: number;
}

export function RulesTable({ rules, number }: RulesTableProps) {
  return (
    <section class="plate">
      <h3>Rules</h3>
      <p class="quiet">
        The margin is the least distance to the limit over the whole drill, below zero where the rule broke;
        moment and sensor are where it was least.
      </p>
      <Table label={`Drill ${number}: rules`} heads={['Rule', 'Result', 'Margin', 'Moment', 'Sensor']}>
        {byConcern(rules).map((rule) => {
          const { words, tier, source } = RULES[rule.id];
          return (
            <tr key={rule.id} class={isExercised(rule) ? undefined : 'unexercised'}>
              <th scope="row">
                {rule.id}: <span class="words">{words}</span>
                <span class="source">
                  {TIER_WORDS[tier]}; {source}
                </span>
              </th>
              <td>
                <ResultMark result={rule.result} />
              </td>
              <td class="figure">{marginText(rule.marginS, '−')}</td>
              <td class="figure">{momentText(rule.atMs)}</td>
              <td>{rule.sensor}</td>
            </tr>
          );
        })}
      </Table>
    </section>
  );
}
