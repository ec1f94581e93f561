/** The judge against a slow evaluator of its own making, rule by rule, on random traces. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { judge, RULE_IDS, type RuleResult } from '../../../sim/judge/index.ts';
import { clock } from '../../../sim/judge/text.ts';
import type { Series } from './plain-episodes.ts';
import { PlainEvaluator } from './plain-evaluator.ts';
import { lockableTrace } from './random-locks.ts';
import { anyTrace, SHORT_POLICY } from './random-traces.ts';

const { LEAKBENCH_JUDGE_RUNS, LEAKBENCH_MUTATE } = process.env;
/** A mutant is found by few traces or by hardly any, and there are a thousand of them. */
const isMutated = LEAKBENCH_MUTATE !== undefined;
const RUNS = Number(LEAKBENCH_JUDGE_RUNS ?? (isMutated ? 40 : 400));
/** Each is evaluated once for every reading. */
const LOCK_RUNS = Math.ceil(RUNS / 4);
/** So many of the random traces must show each side of a rule, or the property has seen too little. */
const SEEN_AT_LEAST = 3;

/**
 * Readings that are not the judge's. What a controller must count could be said to end with its hold; with
 * mitigation, had it time to stand again after a gap or not, or nobody judging; never.
 */
const MISREADINGS = {
  'an episode ended with its hold': class extends PlainEvaluator {
    protected override lastsTo(series: Series, from: number): boolean {
      return super.lastsTo(series, from, 'lax');
    }
  },
  'an episode ended with mitigation, right after a gap too': class extends PlainEvaluator {
    protected override leftAt(t: number): boolean {
      return this.judged[t] === true && this.mitigation[t] === false;
    }
  },
  'an episode ended with mitigation, in a gap too': class extends PlainEvaluator {
    protected override leftAt(t: number): boolean {
      return this.mitigation[t] === false;
    }
  },
  'an episode ended with nothing': class extends PlainEvaluator {
    protected override leftAt(): boolean {
      return false;
    }
  },
  'gas told at a cut was never heard': class extends PlainEvaluator {
    protected override lastWords(): never[] {
      return [];
    }
  },
};
/** Moment and sensor of a result that its own sentences leave out: nobody could check them. */
function unsaid({ atMs, sensor, because }: RuleResult): readonly string[] {
  const needed = [atMs === null ? '' : clock(atMs), sensor ?? ''];
  const text = because.join(' ');
  return needed.filter((one) => !text.includes(one));
}

const LOCK_RULES = ['latch', 'power-cut', 'resume'] as const;

describe('judge and plain evaluator', () => {
  const seen = new Map<string, number>();
  const see = (what: string): void => {
    seen.set(what, (seen.get(what) ?? 0) + 1);
  };

  test('agree on every rule of every trace, to the millisecond', () => {
    fc.assert(
      fc.property(anyTrace, fc.boolean(), (trace, latches) => {
        const policy = latches ? SHORT_POLICY : { ...SHORT_POLICY, latchAfter: null };
        const plain = new PlainEvaluator(trace, policy);
        const results = judge(trace, policy, RULE_IDS);
        for (const one of results) {
          see(`${one.id} ${one.result}`);
          expect(unsaid(one)).toEqual([]);
        }
        expect(results.map(({ id, result, marginS }) => [id, result, marginS])).toEqual(
          RULE_IDS.map((id) => [id, ...plain.verdict(id)]),
        );
      }),
      { numRuns: RUNS },
    );
  });

  test('agree on the lock-outs of traces full of gas, which other readings do not', () => {
    fc.assert(
      fc.property(lockableTrace, (trace) => {
        const results = judge(trace, SHORT_POLICY, LOCK_RULES);
        for (const { id, result } of results) see(`${id} ${result}`);
        const verdicts = (plain: PlainEvaluator): unknown =>
          LOCK_RULES.map((id) => [id, ...plain.verdict(id)]);
        const told = verdicts(new PlainEvaluator(trace, SHORT_POLICY));
        expect(results.map(({ id, result, marginS }) => [id, result, marginS])).toEqual(told);
        for (const [end, Misreading] of Object.entries(MISREADINGS)) {
          if (String(verdicts(new Misreading(trace, SHORT_POLICY))) !== String(told)) see(end);
        }
      }),
      { numRuns: LOCK_RUNS },
    );
  });

  const testWhetherSeen = test.skipIf(isMutated);
  testWhetherSeen.each(Object.keys(MISREADINGS))('were seen to lock otherwise than if %s', (end) => {
    expect(seen.get(end) ?? 0).toBeGreaterThanOrEqual(SEEN_AT_LEAST);
  });

  testWhetherSeen.each(RULE_IDS)('%s was seen held, and seen broken', (id) => {
    expect(seen.get(`${id} held`) ?? 0).toBeGreaterThanOrEqual(SEEN_AT_LEAST);
    expect(seen.get(`${id} broken`) ?? 0).toBeGreaterThanOrEqual(SEEN_AT_LEAST);
  });
});
