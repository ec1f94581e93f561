/**
 * Values as people write them, with what a JSON Schema can say of them: of a refinement or a transform it
 * sees nothing by itself. It takes the spellings that we print; the bench takes a few more.
 */
import { gasAmount, quantity, switchSchema } from '../../src/files/index.ts';
import { type Dimension, unitsOf } from '../../src/units/index.ts';

/** A quantity of one dimension; see `quantity`. */
export function written(dimension: Dimension, options: { readonly zeroToo?: boolean } = {}) {
  return quantity(dimension, options).meta(numberWith(unitsOf(dimension)));
}

export const gasWritten = gasAmount.meta(numberWith(unitsOf('gas')));

export const onOrOff = switchSchema.meta({ enum: [true, false, 'on', 'off', 'yes', 'no', 'true', 'false'] });

/** Of these keys exactly one. */
export function oneOf(keys: readonly string[]) {
  return { oneOf: keys.map((key) => ({ required: [key] })) };
}

function numberWith(units: readonly [string, ...string[]]) {
  return {
    type: 'string',
    pattern: `^\\s*[+]?\\d+(\\.\\d+)?([eE][+-]?\\d+)?\\s*(${units.join('|')})\\s*$`,
    description: `a number and its unit: ${units.join(', ')}`,
  } as const;
}
