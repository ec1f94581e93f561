/** Which parts of a condition made it true or false, and where an expectation tells them. */
import { expect, test } from 'vitest';
import { expectationResults } from '../../../sim/drill/expect.ts';
import type { Expression } from '../../../sim/drill/expectation.ts';
import { parseExpression } from '../../../sim/drill/parse-expression.ts';
import { toldParts } from '../../../sim/drill/told-parts.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { during, GAS, sensor, trace } from '../judge/trace-builder.ts';

const RIG = demoRig();
const TRACE = trace(120, {
  sensors: [
    sensor('coil-a', 120, during(30, 60, GAS), { gas: [{ atMs: 0, value: 12.345678 }] }),
    sensor('coil-b', 120, (atS) => (atS < 10 ? undefined : { gasPercentLfl: null })),
  ],
  outputs: { fan: [[0, 100]], heat: [], 'compressor.a': [[0, 70]] },
});

function condition(text: string): Expression {
  const parsed = parseExpression(text, RIG);
  if (!parsed.ok) throw new Error(text);
  return parsed.expression;
}

test.each([
  ['fan and not compressor.a', 50, 'compressor.a was on'],
  ['fan and not compressor.a', 80, 'fan was on, compressor.a was off'],
  ['fan and not compressor.a', 110, 'fan was off'],
  ['heat or (damper and fan)', 50, 'heat was off, damper was off'],
  ['heat or fan', 50, 'fan was on'],
  ['not (fan and compressor.a)', 50, 'fan was on, compressor.a was on'],
  ['coil-a.gas > 20 %LFL', 50, 'coil-a.gas was 12.35 %LFL'],
  ['coil-a.reading < 20 %LFL', 50, 'coil-a.reading was 25 %LFL'],
  ['coil-b.reading < 20 %LFL', 5, 'coil-b.reading was no number'],
  ['coil-b.reading < 20 %LFL', 50, 'coil-b.reading was no number'],
  ['coil-a.state is measuring', 50, 'coil-a.state was gas'],
  ['coil-b.state is measuring', 5, 'coil-b.state was not known'],
  ['fan', 110, ''],
  ['not fan', 50, ''],
])('%s at %i s: %s', (text, atS, told) => {
  expect(toldParts(condition(text), atS * 1000, TRACE).join(', ')).toBe(told);
});

test('an expectation tells them where it was wanted last, and where it ended', () => {
  const wanted = { text: '', when: { atMs: ms(20_000) }, withinMs: 30_000, forMs: 0 };
  const because = (text: string, forMs: number) =>
    // biome-ignore lint/suspicious/noThenProperty: the word of the file format; nothing awaits it.
    expectationResults([{ ...wanted, then: condition(text), forMs }], TRACE)[0]?.because;
  expect(because('fan and not compressor.a', 0)).toEqual([
    'at 0:00:20: "fan and not compressor.a" was not true within 30 s, but 50 s later; ' +
      'at 0:00:50 compressor.a was on',
  ]);
  expect(because('fan and compressor.a', 60_000)).toEqual([
    'at 0:00:20: "fan and compressor.a" was true from 0:00:20 to 0:01:10, 50 s, and not for 1 min; ' +
      'at 0:01:10 compressor.a was off',
  ]);
});
