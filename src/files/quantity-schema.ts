/**
 * zod schemas for quantities as people write them; errors say which units are taken.
 *
 * Of a transform a JSON Schema sees nothing, so each says beside it by which pattern its text goes. The
 * pattern takes all that the bench takes, and a little more.
 */
import { z } from 'zod';
import { type Dimension, type GasAmount, parseGasAmount, parseQuantity, unitsOf } from '../units/index.ts';

/**
 * A quantity of one dimension, as a number in the dimension's own unit (kg, kg/s, m, m2, m3, m3/s, 1/s, ms).
 * It must be above zero unless `zeroToo`.
 */
export function quantity(dimension: Dimension, options: { readonly zeroToo?: boolean } = {}) {
  const zeroToo = options.zeroToo ?? false;
  return z
    .unknown()
    .transform((written, context): number => {
      const value = parseQuantity(written, dimension);
      const problem = typeof value === 'number' ? rangeProblem(value, zeroToo) : value.problem;
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

function rangeProblem(value: number, zeroToo: boolean): string | null {
  if (value > 0 || (zeroToo && value === 0)) return null;
  return zeroToo ? 'cannot be negative' : 'must be more than zero';
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
