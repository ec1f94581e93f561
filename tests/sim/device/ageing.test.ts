import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { newDevice, powerUp, reportsAfterMs } from '../../../sim/device/index.ts';
import type { DriftPerYear, ModbusSensor } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { FACTS, fault, give, NOW, plan, read } from './devices.ts';

const DAYS_PER_YEAR = 365.25;
const DAY_MS = 86_400_000;
const YEAR_MS = DAYS_PER_YEAR * DAY_MS;
/** A thirtieth of the span, 0.2 %LFL of the zero a year. */
const TIRED: DriftPerYear = { zeroPercentLfl: -0.2, spanShare: -1 / 30 };

function reading(driftPerYear: DriftPerYear | null, years: number, sensed: number, now = NOW) {
  const one = newDevice({ ...plan(), driftPerYear });
  powerUp(one, ms(0));
  return read(one, sensed, now, 0, { ...FACTS, ageDays: years * DAYS_PER_YEAR });
}

describe('drift', () => {
  test('is nothing where the rig tells of none, whatever the age', () => {
    expect(reading(null, 40, 30)).toEqual(reading(null, 0, 30));
    expect(reading(TIRED, 0, 30, ms(4000)), 'new').toEqual(reading(null, 0, 30, ms(4000)));
  });

  test('grows with the age: so much of the span, and so much of the zero', () => {
    // gain 1 - 6/30 = 0.8; zero -1.2.
    expect(reading(TIRED, 6, 30)).toMatchObject({ state: 'gas', gasPercentLfl: 22.8 });
    expect(reading(TIRED, 12, 30)).toMatchObject({ state: 'measuring', gasPercentLfl: 15.6 });
  });

  test('goes on while the bench runs', () => {
    expect(reading(TIRED, 0, 30, ms(6 * YEAR_MS)).gasPercentLfl).toBe(22.8);
    expect(reading(TIRED, 0, 20, ms(DAY_MS - 1)), 'a day at a time').toMatchObject({ gasPercentLfl: 20 });
    expect(reading(TIRED, 0, 20, ms(DAY_MS))).toMatchObject({ gasPercentLfl: 19.9 });
  });

  test('upwards lets a sensor report gas that there is none of', () => {
    const up = { zeroPercentLfl: 2, spanShare: 0 };
    expect(reading(up, 9.9, 0)).toMatchObject({ state: 'measuring', gasPercentLfl: 19.8 });
    expect(reading(up, 10, 0)).toMatchObject({ state: 'gas', gasPercentLfl: 20 });
  });

  test('never reads below zero, nor turns the span round, nor makes a sensor younger than new', () => {
    expect(reading(TIRED, 100, 0).gasPercentLfl).toBe(0);
    expect(reading({ zeroPercentLfl: 0, spanShare: -0.1 }, 25, 700).gasPercentLfl).toBe(0);
    expect(reading(TIRED, -5, 30, ms(4000)).gasPercentLfl).toBe(30);
  });

  test('of the span is the element’s, of the zero the electronics’', () => {
    const one = newDevice({ ...plan(), driftPerYear: { zeroPercentLfl: 0.5, spanShare: -0.05 } });
    powerUp(one, ms(0));
    give(one, [fault('gain', { factor: 2 })]);
    const facts = { ...FACTS, ageDays: 10 * DAYS_PER_YEAR };
    expect(read(one, 10, NOW, 0, facts).gasPercentLfl, '10 · 0.5 · 2 + 5').toBe(15);
  });
});

describe('when a drifted sensor reports a step', () => {
  const drifted = (has: Partial<ModbusSensor>): ModbusSensor => ({ ...plan(), ...has });
  const tauMs = 10_000 / Math.LN10;

  test('a sensor without drift does by its lag alone', () => {
    expect(reportsAfterMs(plan(), 25, 20, 9999)).toBeCloseTo(-tauMs * Math.log(1 - 20 / 25), 9);
  });

  test('never, where its age lets it come to the setpoint at most', () => {
    const one = drifted({ driftPerYear: { zeroPercentLfl: 0, spanShare: -0.02 } });
    expect(reportsAfterMs(one, 25, 20, 10 * DAYS_PER_YEAR)).toBe(Number.POSITIVE_INFINITY);
    expect(reportsAfterMs(one, 25, 20, 60 * DAYS_PER_YEAR), 'no span left').toBe(Number.POSITIVE_INFINITY);
    expect(reportsAfterMs(one, 25, 20, 9.9 * DAYS_PER_YEAR)).toBeLessThan(30_000);
  });

  test('at once, where its zero has come to the setpoint already', () => {
    const one = drifted({ driftPerYear: { zeroPercentLfl: 2, spanShare: 0 } });
    expect(reportsAfterMs(one, 25, 20, 10 * DAYS_PER_YEAR)).toBe(0);
  });

  test('at the very moment at which the virtual sensor does', () => {
    const zeros = fc.double({ min: -0.3, max: 0.5, noNaN: true });
    const spans = fc.double({ min: -0.015, max: 0.02, noNaN: true });
    fc.assert(
      fc.property(
        zeros,
        spans,
        fc.double({ min: 0, max: 9, noNaN: true }),
        (zeroPercentLfl, spanShare, years) => {
          const one = drifted({ driftPerYear: { zeroPercentLfl, spanShare } });
          const ageDays = years * DAYS_PER_YEAR;
          const afterMs = reportsAfterMs(one, 25, 20, ageDays);
          fc.pre(Number.isFinite(afterMs) && afterMs > 2);
          const made = newDevice(one);
          powerUp(made, ms(0));
          const stateAfter = (ms_: number) =>
            read(made, 25 * -Math.expm1(-ms_ / tauMs), ms(4000), 0, { ...FACTS, ageDays }).state;
          expect([afterMs - 1, afterMs + 1].map(stateAfter)).toEqual(['measuring', 'gas']);
        },
      ),
    );
  });
});
