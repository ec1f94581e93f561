/** Methods: robustness of a bounded response, exact discretisation, the covariance of noise. */
import { describe, expect, test } from 'vitest';
import { at, expm } from '../../sim/gas/expm.ts';
import {
  airModel,
  changeAir,
  concentrationAt,
  followAir,
  readLag,
  startAir,
  startLag,
} from '../../sim/gas/index.ts';
import { kgPerM3, ms } from '../../src/units/index.ts';
import { leakInto, oneZone, STILL } from '../sim/gas/rooms.ts';
import { during, GAS, mitigating, outcome, sensor, trace } from '../sim/judge/trace-builder.ts';

const of = (...values: number[]): Float64Array => Float64Array.from(values);

function expectClose(actual: Float64Array, expected: readonly number[], tolerance: number): void {
  expect(actual.length).toBe(expected.length);
  for (const [i, value] of expected.entries())
    expect(Math.abs(at(actual, i) - value)).toBeLessThanOrEqual(tolerance);
}

/** G(gas > gasLimit → F[0,1] fan > fanLimit) step by step, by the definitions; windows are cut at the end. */
function robustness(gas: readonly number[], fan: readonly number[]): readonly number[] {
  return gas.map((level, step) => {
    const premise = -(level - 0.25);
    const answer = Math.max(...fan.slice(step, step + 2).map((value) => value - 0.5));
    return Math.max(premise, answer);
  });
}

describe('a bounded response', () => {
  const gas = [0.1, 0.3, 0.4, 0.35, 0.2];
  test.each([
    ['in time', [0, 0, 1, 1, 1], [0.15, 0.5, 0.5, 0.5, 0.5], 0.15],
    ['a step late', [0, 0, 0, 1, 1], [0.15, -0.05, 0.5, 0.5, 0.5], -0.05],
  ] as const)(
    'figure-check 8.1 (robustness after Maler and Nickovic 2004, Donze and Maler 2010; computed): a fan %s, and the judge agrees in sign',
    (_when, fan, perStep, rho) => {
      const found = robustness(gas, fan);
      for (const [step, value] of perStep.entries()) expect(found[step]).toBeCloseTo(value, 12);
      expect(Math.min(...found)).toBeCloseTo(rho, 12);
      // The same signals for the judge, a second a step: gas from 1 to 4 s, the fan from where it is on.
      const fanOnS = fan.indexOf(1);
      const judged = trace(5, {
        sensors: [sensor('coil', 5, during(1, 4, GAS))],
        outputs: mitigating([[fanOnS, 5]]),
      });
      const [result, marginS] = outcome('respond', judged, { respondWithinMs: 1000 });
      expect(result).toBe(rho > 0 ? 'held' : 'broken');
      expect(marginS).toBe(1 - (fanOnS - 1));
    },
  );
});

test('figure-check 8.2 (exact discretisation of the double integrator, T 0.5 s; computed): Ad [[1, 0.5], [0, 1]], Bd [0.125, 0.5], exactly', () => {
  const step = expm(
    of(0, 1, 0, 0, 0, 1, 0, 0, 0).map((rate) => rate * 0.5),
    3,
  );
  expectClose(step, [1, 0.5, 0.125, 0, 1, 0.5, 0, 0, 1], 0);
});

describe('a room of 1/180 per s that feeds a sensor of tau 10 s', () => {
  test('figure-check 8.3 (exact discretisation, T 1 s; computed): has the printed step', () => {
    const step = expm(of(-1 / 180, 0, 1, 1 / 10, -1 / 10, 0, 0, 0, 0), 3);
    const printed = [0.994459848005, 0, 0.997227359119, 0.094894337614, 0.904837418036, 0.048283982977];
    expectClose(step, [...printed, 0, 0, 1], 1e-12);
  });

  test('figure-check 8.3 (exact discretisation, T 1 s; computed): goes on so on the bench', () => {
    const filling = startAir(airModel(oneZone(30, 20)), leakInto('room', 0.05), ms(0));
    const purge = changeAir(filling, STILL, ms(60_000));
    const exposure = { zone: 'room', hoseKgPerM3: null } as const;
    const lag = startLag(filling, { tauMs: ms(10_000), exposure, response: kgPerM3(0) }, ms(0));
    followAir(lag, purge);
    let gas: number = concentrationAt(purge, 'room', ms(60_000));
    let y: number = readLag(lag, ms(60_000));
    for (let second = 61; second <= 90; second += 1) {
      y = 0.094894337614 * gas + 0.904837418036 * y;
      gas *= 0.994459848005;
      expect(Math.abs(readLag(lag, ms(1000 * second)) - y)).toBeLessThan(1e-9);
    }
  });
});

/** Van Loan 1978: exp([-A, GQG'; 0, A'] T) = [., Ad^-1 Qd; 0, Ad']; of one quantity. */
function vanLoan(a: number, q: number, seconds: number): { ad: number; qd: number } {
  const both = expm(
    of(-a, q, 0, a).map((rate) => rate * seconds),
    2,
  );
  return { ad: at(both, 3), qd: at(both, 3) * at(both, 1) };
}

test('figure-check 8.4 (Van Loan 1978, from memory, A -0.1, Q 0.02, T 1 s; computed): Ad 0.904837418, Qd 0.018126924692', () => {
  const { ad, qd } = vanLoan(-0.1, 0.02, 1);
  expect(ad).toBeCloseTo(0.904837418, 9);
  expect(qd).toBeCloseTo(0.018126924692, 12);
  // Closed form of one quantity: Q (1 - e^(2AT)) / (-2A).
  expect(qd).toBeCloseTo((0.02 * -Math.expm1(-0.2)) / 0.2, 14);
});
