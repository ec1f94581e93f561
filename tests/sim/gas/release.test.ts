import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { beginRelease } from '../../../sim/gas/index.ts';
import { ms } from '../../../src/units/index.ts';
import { releasedBy } from './released.ts';

const START = ms(30_000);

describe('a release', () => {
  test('by rate ends when its time is up: 10 g/s for 7 min', () => {
    const outflow = beginRelease({ rateKgPerS: 0.01, lastsMs: ms(420_000) }, 4.2001, START);
    expect(outflow).toEqual({ kgPerS: 0.01, fromMs: 30_000, untilMs: 450_000 });
    expect(releasedBy(outflow, ms(450_000))).toBeCloseTo(4.2, 14);
  });

  test('by rate ends with the charge, if that goes first, or if no time is given', () => {
    for (const lastsMs of [ms(900_000), null]) {
      const outflow = beginRelease({ rateKgPerS: 0.01, lastsMs }, 2, START);
      expect(outflow).toEqual({ kgPerS: 0.01, fromMs: 30_000, untilMs: 230_000 });
    }
  });

  test('of the whole charge in 4 min runs at 17.5 g/s (the common 4-min assumption, RD 552/2019)', () => {
    const outflow = beginRelease({ kg: 4.2, emptiesInMs: ms(240_000) }, 4.2, START);
    expect(outflow.kgPerS).toBeCloseTo(0.0175, 15);
    expect(outflow.untilMs).toBe(270_000);
  });

  test('of more than the charge keeps its rate and ends early', () => {
    const outflow = beginRelease({ kg: 4.2, emptiesInMs: ms(240_000) }, 2.1, START);
    expect(outflow.kgPerS).toBeCloseTo(0.0175, 15);
    expect(outflow.untilMs).toBe(150_000);
  });

  test('of nothing left is nothing', () => {
    const outflow = beginRelease({ rateKgPerS: 0.01, lastsMs: null }, 0, START);
    expect(outflow).toEqual({ kgPerS: 0, fromMs: 30_000, untilMs: 30_001 });
  });

  test('has released nothing before it began, and no more once it ended', () => {
    const outflow = beginRelease({ rateKgPerS: 0.01, lastsMs: ms(60_000) }, 4.2, START);
    expect(releasedBy(outflow, ms(0))).toBe(0);
    expect(releasedBy(outflow, ms(60_000))).toBeCloseTo(0.3, 14);
    expect(releasedBy(outflow, ms(900_000))).toBeCloseTo(0.6, 14);
  });

  test('never gives more than the charge, nor more than was asked for, and ends on a whole ms', () => {
    const amount = fc.double({ min: 1e-4, max: 50, noNaN: true });
    const duration = fc.integer({ min: 1, max: 10_000_000 });
    const byRate = fc.record({
      rateKgPerS: amount.map((kg) => kg / 100),
      lastsMs: fc.option(duration.map(ms)),
    });
    const byMass = fc.record({ kg: amount, emptiesInMs: duration.map(ms) });
    fc.assert(
      fc.property(fc.oneof(byRate, byMass), amount, (release, chargeKg) => {
        const outflow = beginRelease(release, chargeKg, START);
        const total = releasedBy(outflow, outflow.untilMs);
        const lastsS = 'kg' in release ? 1 : (release.lastsMs ?? Number.POSITIVE_INFINITY) / 1000;
        const asked = 'kg' in release ? release.kg : release.rateKgPerS * lastsS;
        const due = Math.min(chargeKg, asked);
        expect(total).toBeLessThanOrEqual(chargeKg * (1 + 1e-12));
        expect(Math.abs(total / due - 1)).toBeLessThan(1e-9);
        expect(Number.isInteger(outflow.untilMs)).toBe(true);
      }),
    );
  });

  test('without a rate, or of an endless charge, is refused', () => {
    expect(() => beginRelease({ rateKgPerS: 0, lastsMs: null }, 4.2, START)).toThrow(RangeError);
    expect(() => beginRelease({ kg: -1, emptiesInMs: ms(1000) }, 4.2, START)).toThrow(RangeError);
    expect(() => beginRelease({ rateKgPerS: 1, lastsMs: null }, Number.POSITIVE_INFINITY, START)).toThrow(
      RangeError,
    );
  });
});
