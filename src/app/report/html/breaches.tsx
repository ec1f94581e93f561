/** What broke: each rule with its letter in the picture, each expectation, and a run that failed. */
import { RULES, type RuleResult } from '../../../../sim/judge/rules.ts';
import type { DrillVerdict } from '../verdict.ts';
import { marginText, momentText } from '../words.ts';
import { Chain } from './chain.tsx';
import { lettered } from './letters.ts';

export function Breaches({ verdict }: { readonly verdict: DrillVerdict }) {
  const { trouble, rules, expectations } = verdict;
  const expected = expectations.filter((one) => one.result === 'broken');
  return (
    <div class="breaches">
      {trouble.length > 0 && (
        <section class="breach">
          <h3>The run failed</h3>
          <pre class="trouble">{trouble.join('\n')}</pre>
        </section>
      )}
      {lettered(rules).map(({ rule, letter }) => (
        <section key={rule.id} class="breach">
          <h3>
            <span class="letter">{letter}</span> {rule.id}: {RULES[rule.id].words}
          </h3>
          <p class="where">{whereText(rule)}</p>
          <Chain because={rule.because} />
        </section>
      ))}
      {expected.map(({ text, because }, index) => (
        <section key={index} class="breach">
          <h3>Expected: {text}</h3>
          <Chain because={because} />
        </section>
      ))}
    </div>
  );
}

function whereText({ sensor, atMs, marginS }: RuleResult): string {
  const parts = [
    atMs === null ? '' : `at ${momentText(atMs)}`,
    sensor === null ? '' : `at sensor ${sensor}`,
    marginS === null ? '' : `margin ${marginText(marginS, '−')}`,
  ];
  return parts.filter((part) => part !== '').join(', ');
}
