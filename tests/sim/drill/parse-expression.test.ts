/** Conditions as people write them: what they mean, and what is said of those that mean nothing. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Expression } from '../../../sim/drill/expectation.ts';
import { expressionText } from '../../../sim/drill/expression-text.ts';
import { EXPRESSION_LENGTH_MAX, parseExpression } from '../../../sim/drill/parse-expression.ts';
import { toPercentLfl } from '../../../src/refrigerant/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { expressions } from './expression-arbitrary.ts';

const RIG = demoRig();
const STATES = ['warming-up', 'measuring', 'gas', 'failed'];

function parsed(text: string): Expression {
  const outcome = parseExpression(text, RIG);
  if (!outcome.ok) throw new Error(`${outcome.offset}: ${outcome.problem}`);
  return outcome.expression;
}

/** "OFFSET: sentence". */
function refusalOf(text: string): string {
  const outcome = parseExpression(text, RIG);
  return outcome.ok ? 'taken' : `${outcome.offset}: ${outcome.problem}`;
}

const signal = (name: string): Expression => ({ kind: 'signal', name });
const atLeast = (percentLfl: number): Expression => ({
  kind: 'compare',
  name: 'coil-a.gas',
  operator: '>=',
  percentLfl,
});

describe('a condition', () => {
  test.each([
    ...['fan', 'airflow', 'heat', 'damper', 'alarm', 'trouble', 'fire', 'compressor.a', 'compressor.b'],
    ...['call.cooling', 'call.heating', 'call.fan', 'coil-a.answers', 'grille.answers'],
  ])('may be %s alone', (name) => {
    expect(parsed(name)).toEqual(signal(name));
  });

  test('binds not before and, and before or, and reads from the left', () => {
    const [fan, fire, heat] = [signal('fan'), signal('fire'), signal('heat')];
    const not = (of: Expression): Expression => ({ kind: 'not', of });
    const both = (left: Expression, right: Expression): Expression => ({ kind: 'and', left, right });
    const either = (left: Expression, right: Expression): Expression => ({ kind: 'or', left, right });
    expect(parsed('not fan and fire or heat')).toEqual(either(both(not(fan), fire), heat));
    expect(parsed('heat or not fan and fire')).toEqual(either(heat, both(not(fan), fire)));
    expect(parsed('not (fan and (fire or heat))')).toEqual(not(both(fan, either(fire, heat))));
    expect(parsed('fan or fire or heat')).toEqual(either(either(fan, fire), heat));
    expect(parsed('not not fan')).toEqual(not(not(fan)));
  });

  test.each([
    ['coil-a.gas >= setpoint', 20],
    ['coil-a.gas >= clearBelow', 18],
    ['coil-a.gas>=20%LFL', 20],
    ['coil-a.gas >= 2.5 %vol', toPercentLfl({ value: 2.5, unit: '%vol' }, RIG.refrigerant)],
    ['coil-a.gas >= 36000 ppm', toPercentLfl({ value: 36_000, unit: 'ppm' }, RIG.refrigerant)],
    ['coil-a.gas >= 3.6e4 ppm', toPercentLfl({ value: 36_000, unit: 'ppm' }, RIG.refrigerant)],
    ['coil-a.gas >= 0.0614 kg/m3', 20],
    ['coil-a.gas >= 61.4 g/m3', 20],
  ])('%s is converted by the refrigerant of the rig', (text, percentLfl) => {
    expect(parsed(text)).toEqual(atLeast(expect.closeTo(percentLfl, 9) as number));
  });

  test.each(['>=', '>', '<=', '<'])('may compare by %s, with or without spaces', (operator) => {
    const expected = { kind: 'compare', name: 'coil-b.reading', operator, percentLfl: 5 };
    expect(parsed(`coil-b.reading ${operator} 5 %LFL`)).toEqual(expected);
    expect(parsed(`(coil-b.reading${operator}5%LFL)`)).toEqual(expected);
  });

  test.each(STATES)('may say that a sensor is %s', (state) => {
    expect(parsed(`coil-a.state is ${state}`)).toEqual({ kind: 'is', name: 'coil-a.state', state });
  });

  test('takes an amount up to pure vapour, that included', () => {
    const pure = toPercentLfl({ value: RIG.refrigerant.vapourKgPerM3, unit: 'kg/m3' }, RIG.refrigerant);
    expect(parsed(`coil-a.gas >= ${RIG.refrigerant.vapourKgPerM3} kg/m3`)).toEqual(atLeast(pure));
  });

  test('stays what it is when it is printed and read again', () => {
    const vocabulary = {
      switches: ['fan', 'fire', 'compressor.a', 'call.cooling', 'grille.answers'],
      amounts: ['coil-a.gas', 'coil-b.reading', 'grille.gas'],
      states: { 'coil-a.state': STATES, 'grille.state': ['measuring', 'gas'] },
      percentLfl: fc.double({ min: 0, max: 700, noNaN: true }).map(Math.abs),
    };
    fc.assert(
      fc.property(expressions(vocabulary), (expression) => {
        const text = expressionText(expression);
        fc.pre(text.length <= EXPRESSION_LENGTH_MAX);
        expect(parsed(text)).toEqual(expression);
      }),
      { numRuns: 1000 },
    );
  });
});

const ENDS = '"and", "or" or the end';
const CONDITION = 'it takes a signal such as fan or coil.gas >= setpoint, "not", or "("';
const COMPARE = 'compare with >= > <= or <; a state is told with "is"';
const LONG = 'x'.repeat(EXPRESSION_LENGTH_MAX + 1);

describe('of a condition that is none is said where and what to write', () => {
  test.each([
    ['', `0: it ends here; ${CONDITION}`],
    ['fan and ', `7: it ends here; ${CONDITION}`],
    ['and fan', `0: "and" cannot stand here; ${CONDITION}`],
    ['fan heat', `4: "heat" cannot stand here; it takes ${ENDS}`],
    ['fan AND heat', `4: "AND" cannot stand here; it takes ${ENDS}`],
    ['(fan or heat', '12: it ends here; it takes "and", "or" or ")"'],
    ['fan)', `3: ")" cannot stand here; it takes ${ENDS}`],
    ['fan && heat', '4: "&&" is not known here; write "and"'],
    ['fan || heat', '4: "||" is not known here; write "or"'],
    ['!fan', '0: "!" is not known here; write "not"'],
    ['fan # heat', `4: "#" cannot stand here; it takes ${ENDS}`],
    ['coil-a.gas = 5 %LFL', `11: "=" is not known here; ${COMPARE}`],
    ['coil-a.state == gas', `13: "==" is not known here; ${COMPARE}`],
    ['coil-a.gas ≥ 5 %LFL', '11: "≥" is not known here; write >='],
    ['airflw', '0: there is no signal "airflw"; did you mean "airflow"?'],
    ['coil-x.gas > setpoint', '0: there is no sensor "coil-x"; did you mean "coil-a"?'],
    ['roof.gas > setpoint', '0: there is no sensor "roof"; it takes coil-a, coil-b, grille'],
    ['coil-a.gsa > setpoint', '0: there is no signal "coil-a.gsa"; did you mean "coil-a.gas"?'],
    ['compressor.c', '0: there is no signal "compressor.c"; did you mean "compressor.a"?'],
    ['compressor', '0: there is no signal "compressor"; did you mean "compressor.a"?'],
    ['call.coolng', '0: there is no signal "call.coolng"; did you mean "call.cooling"?'],
    [
      'coil-a and fan',
      '0: "coil-a" is a sensor; say of it coil-a.gas >= setpoint, coil-a.state is gas or coil-a.answers',
    ],
    [
      'grille.reading > setpoint',
      '0: grille reports no number; it takes grille.gas, grille.answers, grille.state',
    ],
    ['fan >= setpoint', '4: fan is on or off: write fan, or not fan'],
    ['fan is on', '4: fan is on or off: write fan, or not fan'],
    ['coil-a.gas', '0: coil-a.gas is an amount: compare it, as in coil-a.gas >= setpoint'],
    ['coil-a.gas is gas', '11: coil-a.gas is an amount: compare it, as in coil-a.gas >= setpoint'],
    [
      'not coil-b.state',
      '4: coil-b.state is a word: write coil-b.state is warming-up or is measuring or is gas or is failed',
    ],
    ['grille.state > setpoint', '13: grille.state is a word: write grille.state is measuring or is gas'],
    ['coil-a.state is fialed', '16: there is no state "fialed" here; did you mean "failed"?'],
    ['grille.state is failed', '16: there is no state "failed" here; it takes measuring, gas'],
    ['coil-a.state is not gas', '16: write "not" before the signal, not behind "is"'],
    ['coil-a.state is 5', '16: "5" cannot stand here; it takes one of warming-up, measuring, gas, failed'],
    ['setpoint <= coil-a.gas', '0: a comparison begins with its signal, as in coil.gas >= setpoint'],
    [
      'coil-a.gas > 5 and fan',
      '13: 5 needs its unit, such as "5 %LFL" (units it takes: %LFL, ppm, %vol, kg/m3, g/m3, lb/1000ft3)',
    ],
    [
      'coil-a.gas > 5 lfl',
      '13: "lfl" is not a unit it takes; write one of %LFL, ppm, %vol, kg/m3, g/m3, lb/1000ft3',
    ],
    [
      'coil-a.gas > 36 000 ppm',
      '13: "36 000 ppm": write the number in one piece, with a point before its decimals',
    ],
    ['coil-a.gas > -5 %LFL', '13: takes zero or more; a concentration cannot be negative'],
    ['coil-a.gas > 702 %LFL', '13: is more than there can be; pure R-32 vapour is 701 %LFL'],
    [
      'coil-a.gas > coil-b.gas',
      '13: "coil-b.gas" cannot stand here; it takes an amount such as 20 %LFL, setpoint or clearBelow',
    ],
    ['coil-a.gas > 5 %LFL < 9 %LFL', `20: "<" cannot stand here; it takes ${ENDS}`],
    [LONG, '0: takes at most 1000 characters'],
  ])('%s', (text, refusal) => {
    expect(refusalOf(text)).toBe(refusal);
  });

  test('whatever is written, and never beyond its end', () => {
    const pieces = [
      'fan',
      'coil-a.gas',
      'is',
      'not',
      'and',
      '(',
      ')',
      '>=',
      '20',
      '%LFL',
      'gas',
      '=',
      ' ',
      '.',
      '"',
    ];
    const mixed = fc.array(
      fc.oneof(fc.constantFrom(...pieces), fc.string({ unit: 'grapheme', maxLength: 3 })),
    );
    fc.assert(
      fc.property(mixed, (parts) => {
        const text = parts.join('');
        const outcome = parseExpression(text, RIG);
        if (outcome.ok) return;
        expect(outcome.offset).toBeLessThanOrEqual(text.length);
        expect(outcome.problem).toMatch(/\S/u);
      }),
      { numRuns: 1000 },
    );
  });

  test('however deep it is nested', () => {
    const deep = '('.repeat(EXPRESSION_LENGTH_MAX);
    expect(refusalOf(deep)).toBe(`1000: it ends here; ${CONDITION}`);
    expect(parsed(`${'('.repeat(498)}fan${')'.repeat(498)}`)).toEqual(signal('fan'));
  });
});
