import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { at, entryOf, expm } from '../../../sim/gas/expm.ts';

const of = (...values: number[]): Float64Array => Float64Array.from(values);

function expectClose(actual: Float64Array, expected: readonly number[], tolerance = 1e-14): void {
  expect(actual.length).toBe(expected.length);
  for (const [i, value] of expected.entries()) {
    expect(Math.abs(at(actual, i) - value)).toBeLessThanOrEqual(tolerance * Math.max(1, Math.abs(value)));
  }
}

/** The demo room per second with a sensor of tau = 4 s in the cabinet; the last two rows are the releases. */
function demoRoom(exchange: number): readonly number[] {
  const [cabinet, room, outside] = [1.2, 60, 120 / 3600];
  return [
    ...[-exchange / cabinet, exchange / cabinet, 0, 1 / cabinet, 0],
    ...[exchange / room, -(exchange + outside) / room, 0, 0, 1 / room],
    ...[1 / 4, 0, -1 / 4, 0, 0],
    ...Array<number>(10).fill(0),
  ];
}

/** First three rows of exp(A t), worked out with mpmath 1.3.0 (expm, 60 digits), as the nearest doubles. */
const MPMATH = [
  {
    exchange: 30 / 3600,
    seconds: 1,
    rows: [
      ...[0.9930800924053648, 0.006917983485378904, 0, 0.8304466346339178, 5.7723277689878324e-5],
      ...[0.00013835966970757806, 0.9993062775422058, 0, 5.7723277689878324e-5, 0.016660883642599246],
      ...[0.22040111934539372, 0.0007979466888091033, 0.7788007830714049, 0.09577623681593875],
      ...[4.526831769271438e-6],
    ],
  },
  {
    exchange: 900 / 3600,
    seconds: 60,
    rows: [
      ...[0.01907794679733753, 0.9512589769342568, 0, 4.813580500862822, 0.8898922880521721],
      ...[0.019025179538685134, 0.9487750535877512, 0, 0.8898922880521721, 0.9659930062069128],
      ...[0.019133704873412264, 0.9533214049668991, 3.059023205018258e-7, 4.749801484618114],
      ...[0.8263375277210455],
    ],
  },
  {
    exchange: 900 / 3600,
    seconds: 3600,
    rows: [
      ...[0.002774244667218674, 0.1383496056361158, 0, 29.755187512231092, 25.766284490899967],
      ...[0.002766992112722316, 0.13798792590891584, 0, 25.766284490899967, 25.777352459350855],
      ...[0.0027803016580125158, 0.1386516634529953, 0, 29.745919840037715, 25.757041046669766],
    ],
  },
];

describe('the matrix exponential', () => {
  test('agrees with the closed form of the example of Moler and Van Loan (eigenvalues -1 and -17)', () => {
    const [slow, fast] = [Math.exp(-1), Math.exp(-17)];
    // A = V diag(-1, -17) V^-1 with V = [[1, 3], [2, 4]].
    const closed = [
      ...[-2 * slow + 3 * fast, (3 * slow - 3 * fast) / 2],
      ...[-4 * slow + 4 * fast, 3 * slow - 2 * fast],
    ];
    expectClose(expm(of(-49, 24, -64, 31), 2), closed, 1e-13);
  });

  test('turns a rotation by its angle', () => {
    for (const angle of [0.1, 1, 10, 100]) {
      const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
      expectClose(expm(of(0, -angle, angle, 0), 2), [cos, -sin, sin, cos], 1e-13);
    }
  });

  test('agrees with mpmath on the demo room and a sensor, for a second, a minute and an hour', () => {
    for (const { exchange, seconds, rows } of MPMATH) {
      const step = expm(
        Float64Array.from(demoRoom(exchange)).map((rate) => rate * seconds),
        5,
      );
      expectClose(step.subarray(0, 15), rows, 1e-15 * Math.max(1, seconds));
    }
  });

  test('of nothing is the identity, and of what does not change a row of it to the last bit', () => {
    expectClose(expm(new Float64Array(9), 3), [1, 0, 0, 0, 1, 0, 0, 0, 1], 0);
    const step = expm(of(0, 0, 1000, -1000), 2);
    expect([at(step, 0), at(step, 1)]).toEqual([1, 0]);
  });

  test('is never negative where no rate between two different quantities is', () => {
    const rate = fc.double({ min: 0, max: 10, noNaN: true });
    const rates = fc.array(rate, { minLength: 9, maxLength: 9 });
    fc.assert(
      fc.property(rates, (list) => {
        const flows = Float64Array.from(list).map((value, i) => (i % 4 === 0 ? -3 * value : value));
        expect(Math.min(...expm(flows, 3))).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  test('of the negative is the inverse, and its determinant e to the trace', () => {
    const entry = fc.double({ min: -2, max: 2, noNaN: true });
    fc.assert(
      fc.property(entry, entry, entry, entry, (a, b, c, d) => {
        const [forth, back] = [expm(of(a, b, c, d), 2), expm(of(-a, -b, -c, -d), 2)];
        const top = at(forth, 0) * at(back, 0) + at(forth, 1) * at(back, 2);
        const determinant = at(forth, 0) * at(forth, 3) - at(forth, 1) * at(forth, 2);
        expect(top).toBeCloseTo(1, 10);
        expect(determinant / Math.exp(a + d)).toBeCloseTo(1, 9);
      }),
    );
  });

  test('is refused where a rate is not finite, and no entry is read that is not there', () => {
    expect(() => expm(of(Number.POSITIVE_INFINITY), 1)).toThrow(RangeError);
    expect(() => expm(of(Number.NaN), 1)).toThrow(RangeError);
    expect(() => at(of(1, 2), 2)).toThrow('no entry 2 in 2');
    expect(() => entryOf([1, 2], 2)).toThrow('no entry 2 in 2');
  });
});
