/**
 * zod schemas for quantities as people write them; errors say which units are taken.
 *
 * Of a transform a JSON Schema sees nothing, so each says beside it by which pattern its text goes. The
 * pattern takes all that the bench takes, and a little more.
 */
import { z } from 'zod';
import { type Dimension, type GasAmount, parseGasAmount, parseQuantity, unitsOf } from '../units/index.ts';

/** What a quantity may be: above zero unless `zeroToo`, and within limits, as a person would write them. */
export interface Bounds {
  readonly zeroToo?: boolean;
  readonly least?: string;
  readonly most?: string;
}

/** Of what has no limits of its own: a value further out is a slip of the pen, whatever it measures. */
const LEAST = 1e-12;
const MOST = 1e15;

/** A quantity of one dimension, as a number in its own unit (kg, kg/s, m, m2, m3, m3/s, 1/s, ms). */
export function quantity(dimension: Dimension, { zeroToo = false, least, most }: Bounds = {}) {
  const limitOf = (text: string | undefined, none: number): number => {
    const limit = text === undefined ? none : parseQuantity(text, dimension);
    if (typeof limit === 'number') return limit;
    throw new RangeError(`${text ?? ''}: ${limit.problem}`);
  };
  const [lowest, highest] = [limitOf(least, LEAST), limitOf(most, MOST)];
  const rangeProblem = (value: number): string | null => {
    if (least !== undefined && value < lowest) return `takes ${least} or more`;
    if (value < 0 || (value === 0 && !zeroToo))
      return zeroToo ? 'cannot be negative' : 'must be more than zero';
    if (most !== undefined && value > highest) return `takes ${most} or less`;
    const isInside = value === 0 || (value >= lowest && value <= highest);
    return isInside ? null : 'is out of all range; check the number and its unit';
  };
  return z
    .unknown()
    .transform((written, context): number => {
      const value = parseQuantity(written, dimension);
      const problem = typeof value === 'number' ? rangeProblem(value) : value.problem;
      if (typeof value === 'number' && problem === null) return value;
      context.addIssue({ code: 'custom', message: problem ?? '' });
      return z.NEVER;
    })
    .meta(textWith(zeroToo ? AMOUNT : ABOVE_ZERO, dimension));
}

const DIGITS = String.raw`\+?\d+(\.\d+)?`;
/** Nothing is subtracted from nothing, but it may be written so. */
const AMOUNT = String.raw`(${DIGITS}|-0+(\.0+)?)`;
const ABOVE_ZERO = DIGITS;
const DIFFERENCE = String.raw`(-\s*)?${AMOUNT}`;

/** What a JSON Schema can say of a quantity; editors show it. */
function textWith(number: string, dimension: Dimension | 'gas') {
  const units = unitsOf(dimension);
  // Of gas, and of nothing else, capital and small letters are taken for the same.
  const spelled = dimension === 'gas' ? units.map(anyCase) : units;
  return {
    type: 'string',
    pattern: String.raw`^\s*${number}([eE][+-]?\d+)?\s*(${spelled.join('|')})\s*$`,
    description: `a number and its unit: ${units.join(', ')}`,
  } as const;
}

function anyCase(unit: string): string {
  const signs = Array.from(unit, (sign) =>
    /[a-z]/iu.test(sign) ? `[${sign.toLowerCase()}${sign.toUpperCase()}]` : sign,
  );
  return signs.join(String.raw`\s*`);
}

/** A gas amount; what it is in %LFL follows once the refrigerant is known. */
export const gasAmount = z
  .unknown()
  .transform((written, context): GasAmount => {
    const amount = parseGasAmount(written);
    if (!('problem' in amount)) return amount;
    context.addIssue({ code: 'custom', message: amount.problem });
    return z.NEVER;
  })
  .meta(textWith(AMOUNT, 'gas'));

/** "-5 %LFL" or "5 %LFL": how far a reading is off. */
export const gasDifference = z
  .unknown()
  .transform((written, context): GasAmount => {
    const text = typeof written === 'string' ? written.trim() : written;
    const negative = typeof text === 'string' && text.startsWith('-');
    const amount = gasAmount.safeParse(negative ? text.slice(1).trim() : text);
    if (amount.success) return { ...amount.data, value: negative ? -amount.data.value : amount.data.value };
    context.addIssue({ code: 'custom', message: amount.error.issues[0]?.message ?? '' });
    return z.NEVER;
  })
  .meta(textWith(DIFFERENCE, 'gas'));
