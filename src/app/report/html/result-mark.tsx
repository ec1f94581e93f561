/** A result as shape, word and, where something is wrong, colour. */
import type { RuleResult } from '../../../../sim/judge/rules.ts';
import { Mark, type MarkKind } from '../../../page/parts/mark.tsx';

type Result = RuleResult['result'];

const MARKS: Readonly<Record<Result, MarkKind>> = {
  held: 'good',
  broken: 'alarm',
  'not exercised': 'trace',
  'not applicable': 'trace',
};

export function ResultMark({ result }: { readonly result: Result }) {
  return (
    <span class={`result result-${result.replace(' ', '-')}`}>
      <Mark kind={MARKS[result]} /> {result}
    </span>
  );
}
