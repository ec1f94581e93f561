/** zod schemas for quantities as people write them; errors say which units are taken. */
import { z } from 'zod';
import { type Dimension, type GasAmount, parseGasAmount, parseQuantity } from '../units/index.ts';

/**
 * A quantity of one dimension, as a number in the dimension's own unit (kg, kg/s, m, m2, m3, m3/s, 1/s, ms).
 * It must be above zero unless `zeroToo`.
 */
export function quantity(dimension: Dimension, options: { readonly zeroToo?: boolean } = {}) {
  return z.unknown().transform((written, context): number => {
    const value = parseQuantity(written, dimension);
    const problem = typeof value === 'number' ? rangeProblem(value, options.zeroToo ?? false) : value.problem;
    if (typeof value === 'number' && problem === null) return value;
    context.addIssue({ code: 'custom', message: problem ?? '' });
    return z.NEVER;
  });
}

function rangeProblem(value: number, zeroToo: boolean): string | null {
  if (value > 0 || (zeroToo && value === 0)) return null;
  return zeroToo ? 'cannot be negative' : 'must be more than zero';
}

/** A gas amount; what it is in %LFL follows once the refrigerant is known. */
export const gasAmount = z.unknown().transform((written, context): GasAmount => {
  const amount = parseGasAmount(written);
  if (!('problem' in amount)) return amount;
  context.addIssue({ code: 'custom', message: amount.problem });
  return z.NEVER;
});

/** "-5 %LFL" or "5 %LFL": how far a reading is off. */
export const gasDifference = z.unknown().transform((written, context): GasAmount => {
  const text = typeof written === 'string' ? written.trim() : written;
  const negative = typeof text === 'string' && text.startsWith('-');
  const amount = gasAmount.safeParse(negative ? text.slice(1).trim() : text);
  if (amount.success) return { ...amount.data, value: negative ? -amount.data.value : amount.data.value };
  context.addIssue({ code: 'custom', message: amount.error.issues[0]?.message ?? '' });
  return z.NEVER;
});
