/** What a condition says of a moment, part by part: those that make the whole true, or false, there. */
import type { Signal, Trace } from '../judge/trace.ts';
import { amountOf, conditionOver, stateOf } from './condition.ts';
import type { Expression } from './expectation.ts';
import { shortGas } from './expression-text.ts';

/** "compressor.a was on"; nothing for a switch alone, of which the condition itself says it all. */
export function toldParts(expression: Expression, atMs: number, trace: Trace): readonly string[] {
  const inner = expression.kind === 'not' ? expression.of : expression;
  return inner.kind === 'signal' ? [] : partsOf(expression, atMs, trace);
}

function partsOf(expression: Expression, atMs: number, trace: Trace): readonly string[] {
  const isTrue = (one: Expression): boolean => at(conditionOver(one, trace), atMs) === true;
  switch (expression.kind) {
    case 'signal':
      return [`${expression.name} was ${isTrue(expression) ? 'on' : 'off'}`];
    case 'compare': {
      const amount = at(amountOf(expression.name, trace), atMs);
      return [`${expression.name} was ${typeof amount === 'number' ? shortGas(amount) : 'no number'}`];
    }
    case 'is':
      return [`${expression.name} was ${at(stateOf(expression.name, trace), atMs) ?? 'not known'}`];
    case 'not':
      return partsOf(expression.of, atMs, trace);
    case 'and':
    case 'or': {
      const whole = isTrue(expression);
      const { left, right } = expression;
      return [left, right].flatMap((one) => (isTrue(one) === whole ? partsOf(one, atMs, trace) : []));
    }
  }
}

function at<Value>(signal: Signal<Value>, atMs: number): Value | undefined {
  return signal.findLast((change) => change.atMs <= atMs)?.value;
}
