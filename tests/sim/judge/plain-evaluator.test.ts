/** The judge against a slow evaluator of its own making, rule by rule, on random traces. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { judge, RULE_IDS } from '../../../sim/judge/index.ts';
import { PlainEvaluator } from './plain-evaluator.ts';
import { anyTrace, SHORT_POLICY } from './random-traces.ts';

const RUNS = Number(process.env['LEAKBENCH_JUDGE_RUNS'] ?? 400);
/** So many of the random traces must show each side of a rule, or the property has seen too little. */
const SEEN_AT_LEAST = 3;

describe('judge and plain evaluator', () => {
  const seen = new Map<string, number>();

  test('agree on every rule of every trace, to the millisecond', () => {
    fc.assert(
      fc.property(anyTrace, fc.boolean(), (trace, latches) => {
        const policy = latches ? SHORT_POLICY : { ...SHORT_POLICY, latchAfter: null };
        const plain = new PlainEvaluator(trace, policy);
        const results = judge(trace, policy, RULE_IDS);
        for (const { id, result } of results) {
          const key = `${id} ${result}`;
          seen.set(key, (seen.get(key) ?? 0) + 1);
        }
        expect(results.map(({ id, result, marginS }) => [id, result, marginS])).toEqual(
          RULE_IDS.map((id) => [id, ...plain.verdict(id)]),
        );
      }),
      { numRuns: RUNS },
    );
  });

  test.each(RULE_IDS)('%s was seen held, and seen broken', (id) => {
    expect(seen.get(`${id} held`) ?? 0).toBeGreaterThanOrEqual(SEEN_AT_LEAST);
    expect(seen.get(`${id} broken`) ?? 0).toBeGreaterThanOrEqual(SEEN_AT_LEAST);
  });
});
