/** A condition as a text that parses to the same condition. */
import type { Expression } from './expectation.ts';

const STRENGTH = { or: 0, and: 1, not: 2, signal: 3, compare: 3, is: 3 } as const;

/** `amount` writes a gas amount; where none is given, to the last digit. */
export function expressionText(
  expression: Expression,
  amount: (percentLfl: number) => string = exact,
): string {
  const inside = (one: Expression, atLeast: number): string => {
    const text = expressionText(one, amount);
    return STRENGTH[one.kind] < atLeast ? `(${text})` : text;
  };
  switch (expression.kind) {
    case 'signal':
      return expression.name;
    case 'compare':
      return `${expression.name} ${expression.operator} ${amount(expression.percentLfl)}`;
    case 'is':
      return `${expression.name} is ${expression.state}`;
    case 'not':
      return `not ${inside(expression.of, STRENGTH.not)}`;
    case 'and':
    case 'or': {
      // Read from the left: an equal on the right stands in parentheses, or it would be another tree.
      const strength = STRENGTH[expression.kind];
      return `${inside(expression.left, strength)} ${expression.kind} ${inside(expression.right, strength + 1)}`;
    }
  }
}

function exact(percentLfl: number): string {
  return `${percentLfl} %LFL`;
}

/** For sentences: 25.06963788 → "25.07 %LFL". */
export function shortGas(percentLfl: number): string {
  return `${Number(percentLfl.toPrecision(4))} %LFL`;
}
