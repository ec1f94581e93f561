/** Detectors of first order without dead time. */
import { describe, expect, test } from 'vitest';
import {
  airModel,
  concentrationAt,
  type Exposure,
  type Lag,
  readLag,
  startAir,
  startLag,
  tauOfT90,
} from '../../sim/gas/index.ts';
import { kgPerM3, ms } from '../../src/units/index.ts';
import { DEMO, LFL, leakInto, oneZone, STILL } from '../sim/gas/rooms.ts';

const CLEAN = startAir(airModel(DEMO), STILL, ms(0));
const hose = (level: number): Exposure => ({ zone: 'cabinet', hoseKgPerM3: level });

function lagUnder(exposure: Exposure, tauS: number): Lag {
  return startLag(CLEAN, { tauMs: ms(1000 * tauS), exposure, response: kgPerM3(0) }, ms(0));
}

/** First whole ms at which a lag under a hose from clean air reaches the level, by looking at every ms. */
function reaches(tauS: number, stimulus: number, level: number): number {
  const lag = lagUnder(hose(stimulus), tauS);
  let at = 0;
  while (readLag(lag, ms(at)) < level && at < 100_000) at += 1;
  return at / 1000;
}

describe('a sensor with tau = 10 s', () => {
  test('figure-check 5.1 (first order, t50 and t90 as IEC 60079-29-1 defines them; computed): reaches half of a step after 6.931 s and 90 % after 23.026 s', () => {
    expect(Math.abs(reaches(10, 0.2, 0.1) - 6.931)).toBeLessThanOrEqual(0.0015);
    expect(Math.abs(reaches(10, 0.2, 0.18) - 23.026)).toBeLessThanOrEqual(0.0015);
    expect(tauOfT90(ms(23_026))).toBeCloseTo(10_000, 0);
  });

  test('figure-check 5.1 (first order; computed): crosses 25 %LFL 2.877 s after a step to LFL', () => {
    expect(Math.abs(reaches(10, LFL, 0.25 * LFL) - 2.877)).toBeLessThanOrEqual(0.0015);
  });

  test('figure-check 5.1 (zero-order hold; computed): goes on by y 0.904837418 + u 0.095162582 a second', () => {
    const lag = lagUnder(hose(0.3), 10);
    let y = 0;
    for (let second = 1; second <= 60; second += 1) {
      y = 0.904837418 * y + 0.095162582 * 0.3;
      expect(Math.abs(readLag(lag, ms(1000 * second)) - y)).toBeLessThan(1e-8);
    }
  });
});

test.each([
  ['10 s from a step to LFL with a setpoint of 25 %LFL (UL 60335-2-40)', 34.761, LFL, 0.25 * LFL, 10, 80.04],
  ['60 s at 1.6 times the setpoint (RD 552/2019 IF-16 3)', 61.173, 1.6 * 0.06, 0.06, 60, null],
  ['30 s to 90 % of the stimulus (IEC 60335-2-40 Ed. 6 Annex LL)', 13.029, 0.1, 0.09, 30, null],
] as const)(
  'figure-check 5.2 (the largest tau that meets a published response time, pure first order; computed): %s',
  (_rule, tauS, stimulus, level, limitS, t90S) => {
    expect(Math.abs(reaches(tauS, stimulus, level) - limitS)).toBeLessThanOrEqual(0.002);
    if (t90S !== null) expect(Math.LN10 * tauS).toBeCloseTo(t90S, 2);
    // A slower one is too slow.
    expect(reaches(1.01 * tauS, stimulus, level)).toBeGreaterThan(limitS);
  },
);

test('figure-check 5.3 (a ramp, 2 kg of R-32 a 240 s into closed 50 m3; computed): true crossing of 25 %LFL at 460.5 s, that of a sensor of tau 10 s at 470.5 s', () => {
  const course = startAir(airModel(oneZone(50, 0)), leakInto('room', 2 / 240), ms(0));
  const exposure: Exposure = { zone: 'room', hoseKgPerM3: null };
  const lag = startLag(course, { tauMs: ms(10_000), exposure, response: kgPerM3(0) }, ms(0));
  expect(concentrationAt(course, 'room', ms(460_500))).toBeCloseTo(0.25 * LFL, 12);
  expect(readLag(lag, ms(470_500))).toBeCloseTo(0.25 * LFL, 12);
});
