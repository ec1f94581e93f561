import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Dimension,
  GAS_UNITS,
  parseGasAmount,
  parseQuantity,
  unitsOf,
} from '../../../src/units/index.ts';

const DIMENSIONS: readonly Dimension[] = [
  'mass',
  'massRate',
  'length',
  'area',
  'volume',
  'airflow',
  'frequency',
  'pressure',
  'molarMass',
  'time',
  'storage',
];

/** What must hold to the last bits of a double: definitions are exact, a factor is a few roundings. */
function expectClose(actual: unknown, expected: number): void {
  expect(typeof actual).toBe('number');
  expect(Math.abs(Number(actual) / expected - 1)).toBeLessThan(1e-14);
}

/**
 * Definitions, none of them ours.
 * IYP: international yard and pound agreement of 1959 (24 FR 5348): 1 yd = 0.9144 m, 1 lb = 0.45359237 kg.
 * SI: SI Brochure, 9th edition, table 8 (min, h, d, l). The year is the Julian year of the IAU, 365.25 d.
 */
const FT = 0.3048;
const LB = 0.45359237;
const DEFINITIONS: readonly (readonly [string, Dimension, number, string])[] = [
  ['1 kg', 'mass', 1, 'SI'],
  ['1 g', 'mass', 1e-3, 'SI'],
  ['1 lb', 'mass', LB, 'IYP'],
  ['1 oz', 'mass', LB / 16, 'IYP; 16 oz to the lb'],
  ['1 kg/s', 'massRate', 1, 'SI'],
  ['1 g/s', 'massRate', 1e-3, 'SI'],
  ['1 g/min', 'massRate', 1e-3 / 60, 'SI'],
  ['1 kg/min', 'massRate', 1 / 60, 'SI'],
  ['1 kg/h', 'massRate', 1 / 3600, 'SI'],
  ['1 lb/min', 'massRate', LB / 60, 'IYP'],
  ['1 lb/h', 'massRate', LB / 3600, 'IYP'],
  ['1 m', 'length', 1, 'SI'],
  ['1 cm', 'length', 1e-2, 'SI'],
  ['1 mm', 'length', 1e-3, 'SI'],
  ['1 ft', 'length', FT, 'IYP; 3 ft to the yd'],
  ['1 in', 'length', FT / 12, 'IYP; 12 in to the ft'],
  ['1 m2', 'area', 1, 'SI'],
  ['1 ft2', 'area', FT ** 2, 'IYP'],
  ['1 m3', 'volume', 1, 'SI'],
  ['1 ft3', 'volume', FT ** 3, 'IYP'],
  ['1 l', 'volume', 1e-3, 'SI'],
  ['1 m3/s', 'airflow', 1, 'SI'],
  ['1 m3/min', 'airflow', 1 / 60, 'SI'],
  ['1 m3/h', 'airflow', 1 / 3600, 'SI'],
  ['1 l/s', 'airflow', 1e-3, 'SI'],
  ['1 cfm', 'airflow', FT ** 3 / 60, 'IYP; cubic feet per minute'],
  ['1 /s', 'frequency', 1, 'SI'],
  ['1 /min', 'frequency', 1 / 60, 'SI'],
  ['1 /h', 'frequency', 1 / 3600, 'SI'],
  ['1 bar', 'pressure', 1e5, 'SI'],
  ['1 kPa', 'pressure', 1e3, 'SI'],
  ['1 MPa', 'pressure', 1e6, 'SI'],
  ['1 psi', 'pressure', (LB * 9.80665) / (FT / 12) ** 2, 'IYP; standard gravity, CGPM 1901'],
  ['1 g/mol', 'molarMass', 1e-3, 'SI'],
  ['1 kg/kmol', 'molarMass', 1e-3, 'SI'],
  ['1 s', 'time', 1000, 'SI'],
  ['1 ms', 'time', 1, 'SI'],
  ['1 min', 'time', 60_000, 'SI'],
  ['1 h', 'time', 3_600_000, 'SI'],
  ['1 days', 'time', 86_400_000, 'SI'],
  ['1 years', 'time', 365.25 * 86_400_000, 'IAU'],
  ['1 MiB', 'storage', 2 ** 20, 'IEC 80000-13'],
  ['1 GiB', 'storage', 2 ** 30, 'IEC 80000-13'],
  ['1 MB', 'storage', 1e6, 'SI prefix'],
  ['1 GB', 'storage', 1e9, 'SI prefix'],
];

describe('a quantity with its unit', () => {
  test.each(DEFINITIONS)('%s as %s is %d of our own unit (%s)', (text, dimension, value) => {
    expectClose(parseQuantity(text, dimension), value);
  });

  test('has a definition checked above for every unit it takes', () => {
    const checked = DEFINITIONS.map(([text, dimension]) => `${dimension} ${text.slice(2)}`);
    const taken = DIMENSIONS.flatMap((dimension) => unitsOf(dimension).map((unit) => `${dimension} ${unit}`));
    expect(checked.toSorted()).toEqual(taken.toSorted());
  });

  // NIST SP 811 appendix B.8, seven digits as printed (from memory; the definitions above give the same).
  test.each([
    ['1 cfm', 'airflow', 4.719474e-4],
    ['1 ft2', 'area', 9.290304e-2],
    ['1 ft3', 'volume', 2.831685e-2],
    ['1 lb/min', 'massRate', 7.559873e-3],
    ['1 oz', 'mass', 2.834952e-2],
  ] as const)('%s agrees with the printed table: %s %d', (text, dimension, printed) => {
    expect(Math.abs(Number(parseQuantity(text, dimension)) / printed - 1)).toBeLessThan(5e-7);
  });

  test.each([
    ['4.2 kg', 'mass', 4.2],
    ['9.3 lb', 'mass', 9.3 * LB],
    ['258 ft2', 'area', 258 * FT ** 2],
    ['900 m3/h', 'airflow', 0.25],
    ['530 cfm', 'airflow', (530 * FT ** 3) / 60],
    ['5 min', 'time', 300_000],
    ['2 /h', 'frequency', 2 / 3600],
    ['2/h', 'frequency', 2 / 3600],
    ['  1.2e3   g ', 'mass', 1.2],
    ['-3 s', 'time', -3000],
    ['+3 s', 'time', 3000],
  ] as const)('%s is read as %s', (text, dimension, value) => {
    expectClose(parseQuantity(text, dimension), value);
  });

  test('is the written number times its factor, whatever the number', () => {
    const written = fc.double({ min: -1e9, max: 1e9, noNaN: true });
    fc.assert(
      fc.property(written, fc.constantFrom(...DEFINITIONS), (value, [one, dimension]) => {
        const factor = Number(parseQuantity(one, dimension));
        // Written, minus zero is zero: adding 0 takes the sign off both.
        expect(Number(parseQuantity(`${value} ${one.slice(2)}`, dimension)) + 0).toBe(value * factor + 0);
      }),
    );
  });
});

const MASS_UNITS = 'kg, g, lb, oz';

describe('what is no quantity', () => {
  test.each<[string, unknown, string]>([
    ['a bare number', 4.2, `4.2 needs its unit, such as "4.2 kg" (units it takes: ${MASS_UNITS})`],
    [
      'a bare number in a text',
      '4.2',
      `4.2 needs its unit, such as "4.2 kg" (units it takes: ${MASS_UNITS})`,
    ],
    ['an unknown unit', '4.2 kgs', `"kgs" is not a unit it takes; write one of ${MASS_UNITS}`],
    ['a unit of another dimension', '4.2 m', `"m" is not a unit it takes; write one of ${MASS_UNITS}`],
    ['no number', 'much', `takes a number and a unit, such as "1 kg" (units it takes: ${MASS_UNITS})`],
    ['nothing', undefined, `takes a number and a unit, such as "1 kg" (units it takes: ${MASS_UNITS})`],
    [
      'a decimal comma',
      '4,2 kg',
      '"4,2 kg": write the number in one piece, with a point before its decimals',
    ],
    [
      'thousands set apart',
      '4 200 g',
      '"4 200 g": write the number in one piece, with a point before its decimals',
    ],
    ['more than a number holds', '1e999 kg', '1e999 kg is out of all range; check the number and its unit'],
  ])('%s is told with what to write', (_, text, problem) => {
    expect(parseQuantity(text, 'mass')).toEqual({ problem });
  });

  test.each(DIMENSIONS)('a bare number as %s lists the units it takes', (dimension) => {
    const problem = `units it takes: ${unitsOf(dimension).join(', ')}`;
    expect(parseQuantity(7, dimension)).toEqual({ problem: expect.stringContaining(problem) as string });
  });

  test('a value that its factor takes out of range is told as well', () => {
    expect(parseQuantity('1e305 years', 'time')).toEqual({
      problem: '1e305 years is out of all range; check the number and its unit',
    });
  });
});

describe('an amount of gas', () => {
  test.each([
    ['20 %LFL', { value: 20, unit: '%LFL' }],
    ['20%lfl', { value: 20, unit: '%LFL' }],
    ['20 % LFL', { value: 20, unit: '%LFL' }],
    ['36000 ppm', { value: 36_000, unit: 'ppm' }],
    ['2.5 %vol', { value: 2.5, unit: '%vol' }],
    ['0.0614 kg/m3', { value: 0.0614, unit: 'kg/m3' }],
    ['61.4 g/m3', { value: 61.4, unit: 'g/m3' }],
    ['0 ppm', { value: 0, unit: 'ppm' }],
  ])('%s stays value and unit until a refrigerant is at hand', (text, amount) => {
    expect(parseGasAmount(text)).toEqual(amount);
  });

  test.each<[unknown, string]>([
    [20, `20 needs its unit, such as "20 %LFL" (units it takes: ${GAS_UNITS.join(', ')})`],
    ['20 %', `"%" is not a unit it takes; write one of ${GAS_UNITS.join(', ')}`],
    ['-1 ppm', 'takes zero or more; a concentration cannot be negative'],
    ['1e999 ppm', '1e999 ppm is out of all range; check the number and its unit'],
    ['36,000 ppm', '"36,000 ppm": write the number in one piece, with a point before its decimals'],
    [null, `takes a number and a unit, such as "1 %LFL" (units it takes: ${GAS_UNITS.join(', ')})`],
  ])('%s is told with what to write', (text, problem) => {
    expect(parseGasAmount(text)).toEqual({ problem });
  });
});
