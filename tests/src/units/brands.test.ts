import { describe, expect, test } from 'vitest';
import { kgPerM3, ms, percentLfl, unitId } from '../../../src/units/index.ts';

describe('a branded number', () => {
  test.each([
    ['ms', ms, [0, -5, 1.5, 1e12]],
    ['percentLfl', percentLfl, [0, 20, 701.3]],
    ['kgPerM3', kgPerM3, [0, 0.307]],
    ['unitId', unitId, [0, 1, 247, 255]],
  ] as const)('%s is the plain number at run time', (_, make, values) => {
    for (const value of values) expect(make(value)).toBe(value);
  });

  test.each([
    ['ms', ms, [Number.NaN, Number.POSITIVE_INFINITY]],
    ['percentLfl', percentLfl, [Number.NaN, Number.POSITIVE_INFINITY, -0.1]],
    ['kgPerM3', kgPerM3, [Number.NaN, Number.POSITIVE_INFINITY, -1e-9]],
    ['unitId', unitId, [Number.NaN, -1, 256, 11.5]],
  ] as const)('%s throws on a value its quantity cannot have, naming itself', (name, make, values) => {
    for (const value of values)
      expect(() => make(value), String(value)).toThrow(new RangeError(`${name}: ${value}`));
  });
});
