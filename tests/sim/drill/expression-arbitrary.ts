/** Random conditions over given signals. */
import fc from 'fast-check';
import type { Expression } from '../../../sim/drill/expectation.ts';

export interface Vocabulary {
  readonly switches: readonly string[];
  readonly amounts: readonly string[];
  readonly states: Readonly<Record<string, readonly string[]>>;
  readonly percentLfl: fc.Arbitrary<number>;
}

export function expressions({ switches, amounts, states, percentLfl }: Vocabulary): fc.Arbitrary<Expression> {
  const { expression } = fc.letrec<{ expression: Expression }>((tie) => ({
    expression: fc.oneof(
      { depthSize: 'small', withCrossShrink: true },
      fc.record({ kind: fc.constant('signal' as const), name: fc.constantFrom(...switches) }),
      fc.record({
        kind: fc.constant('compare' as const),
        name: fc.constantFrom(...amounts),
        operator: fc.constantFrom('>=' as const, '>' as const, '<=' as const, '<' as const),
        percentLfl,
      }),
      fc.constantFrom(
        ...Object.entries(states).flatMap(([name, words]) =>
          words.map((state) => ({ kind: 'is' as const, name, state })),
        ),
      ),
      fc.record({ kind: fc.constant('not' as const), of: tie('expression') }),
      fc.record({
        kind: fc.constantFrom('and' as const, 'or' as const),
        left: tie('expression'),
        right: tie('expression'),
      }),
    ),
  }));
  return expression;
}
