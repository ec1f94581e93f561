import { describe, expect, it } from 'vitest';
import type { RuleResult } from '../../../../sim/judge/rules.ts';
import { SHORTFALLS, verdictOf } from '../../../../src/app/report/verdict.ts';
import { brokenVerdict, drillOf, heldVerdict, partsOf, ruleResult } from './stories.ts';

const held = ruleResult('respond', { result: 'held', marginS: 1 });
const broken = ruleResult('respond', { result: 'broken', marginS: -1 });

function judged(rules: readonly RuleResult[]) {
  const drill = drillOf({ rules: rules.map((rule) => rule.id), expectations: [] });
  return { drill, rules, expectations: [] };
}

describe('a drill has held', () => {
  it('when a rule was exercised and none broke', () => {
    expect(verdictOf(partsOf(judged([held, ruleResult('fire')]))).verdict).toBe('held');
  });

  it('when it lists no rule and what it expects came true', () => {
    const { expectations } = drillOf();
    const result = { text: 'as expected', result: 'held', because: [] } as const;
    const drill = drillOf({ rules: [], expectations: expectations.slice(0, 1) });
    expect(verdictOf(partsOf({ drill, rules: [], expectations: [result] })).verdict).toBe('held');
  });

  it('and says nothing more than the run itself noted', () => {
    expect(heldVerdict({ notes: ['it was late'] })).toMatchObject({
      shortfall: null,
      notes: ['it was late'],
    });
  });
});

describe('a drill is broken', () => {
  it('by one broken rule among many that held', () => {
    const other = ruleResult('fire', { result: 'held' });
    expect(verdictOf(partsOf(judged([other, broken]))).verdict).toBe('broken');
  });

  it('by one expectation, though every rule held', () => {
    const { expectations } = drillOf();
    const drill = drillOf({ rules: ['respond'], expectations: expectations.slice(0, 1) });
    const result = { text: 'not so', result: 'broken', because: [] } as const;
    expect(verdictOf(partsOf({ drill, rules: [held], expectations: [result] })).verdict).toBe('broken');
  });

  it('by a run that failed, whatever was judged of it', () => {
    const verdict = heldVerdict({ trouble: ['The controller gave no answer within 5 s.'] });
    expect(verdict.verdict).toBe('broken');
    expect(verdict.shortfall).toBeNull();
  });

  it.each(['not exercised', 'not applicable'] as const)('when all it lists was %s, and says so', (result) => {
    const verdict = verdictOf(partsOf(judged([ruleResult('respond', { result }), ruleResult('fire')])));
    expect(verdict.verdict).toBe('broken');
    expect(verdict.notes).toEqual([SHORTFALLS.empty.says]);
  });

  it('by a step that was left out, though all that was exercised held', () => {
    const leftOut = ['the step at 5 s was not carried out'];
    const verdict = heldVerdict({ leftOut, notes: ['it was late'] });
    expect(verdict.verdict).toBe('broken');
    expect(verdict.notes).toEqual([...leftOut, SHORTFALLS.incomplete.says, 'it was late']);
    // What was left out is why nothing was exercised.
    const drill = drillOf({ rules: ['fire'], expectations: [] });
    expect(heldVerdict({ drill, leftOut }).shortfall).toBe('incomplete');
  });

  it('when it asks for nothing at all', () => {
    expect(verdictOf(partsOf(judged([]))).notes).toEqual([SHORTFALLS.empty.says]);
  });
});

describe('what counts', () => {
  it('is what the drill lists: a rule beyond it neither breaks nor carries it', () => {
    const drill = drillOf({ rules: ['fire'], expectations: [] });
    const fire = ruleResult('fire', { result: 'held' });
    const verdict = verdictOf(partsOf({ drill, rules: [broken, fire], expectations: [] }));
    expect(verdict.verdict).toBe('held');
    expect(verdict.rules).toEqual([fire]);
    expect(
      verdictOf(partsOf({ ...judged([ruleResult('fire')]), rules: [held, ruleResult('fire')] })).verdict,
    ).toBe('broken');
  });

  it('must have been judged: a listed rule or an expectation without a result is a mistake of ours', () => {
    expect(() => brokenVerdict({ rules: [held] })).toThrow(/no result for ask, silent/u);
    expect(() => brokenVerdict({ expectations: [] })).toThrow('0 results for 2 expectations');
  });
});

it('takes a controller’s paint off its last lines', () => {
  expect(heldVerdict({ trouble: ['\u001b[31mpanic\u001b[0m'] }).trouble).toEqual(['panic']);
});
