/** Releases that fall: closed forms of what comes out, and when it ends. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chokedAbovePa, emptyingBy, fallOfHole, type Outflow, outflowsOf } from '../../../sim/gas/index.ts';
import { ms } from '../../../src/units/index.ts';
import { releasedBy } from './released.ts';

const START = ms(30_000);
const CHARGE_KG = 4.2;
/** R-32 (52.024 g/mol) behind 1 mm at 17 bar, near its saturation at 25 °C; 10 litres for vapour. */
const HOLE = { holeM: 0.001, pressurePa: 1_700_000, volumeM3: 0.01, molarMassGPerMol: 52.024 };

const total = (outflows: readonly Outflow[], now = ms(2 ** 40)): number =>
  outflows.reduce((sum, one) => sum + releasedBy(one, now), 0);

describe('emptying with a half-life', () => {
  test('has let out half after one, three quarters after two: m (1 - 2^(-t/T)) (textbook)', () => {
    const outflows = outflowsOf(emptyingBy(4.2, 60_000), CHARGE_KG, START);
    expect(outflows.length).toBe(1);
    for (const halves of [0, 0.5, 1, 2, 7]) {
      const now = ms(START + 60_000 * halves);
      expect(total(outflows, now)).toBeCloseTo(4.2 * (1 - 2 ** -halves), 12);
    }
    expect(outflows[0]?.untilMs).toBe(START + 20 * 60_000);
    expect(total(outflows)).toBeCloseTo(4.2 * (1 - 2 ** -20), 12);
  });

  test('begins as fast as what is left of the charge has it', () => {
    const [half] = outflowsOf(emptyingBy(4.2, 60_000), 2.1, START);
    const [whole] = outflowsOf(emptyingBy(4.2, 60_000), 10, START);
    expect(Number(whole?.kgPerS) / Number(half?.kgPerS)).toBeCloseTo(2, 12);
    expect(outflowsOf(emptyingBy(4.2, 60_000), 1e-9, START)).toEqual([]);
  });
});

describe('a hole under pressure', () => {
  test('lets out what the choked flow formula says, worked out by hand for R-32, 1 mm and 17 bar', () => {
    // sqrt(1.2 * 0.052024 / (8.314462618 * 298.15)) = 5.01836e-3 s/m; (2/2.2)^5.5 = 0.592014;
    // 0.75 * 7.85398e-7 m2 * 1.7e6 Pa * both = 2.97502e-3 kg/s.
    expect(fallOfHole(HOLE).rateKgPerS).toBeCloseTo(2.975e-3, 6);
    const wide = fallOfHole({ ...HOLE, holeM: 0.002 });
    expect(wide.rateKgPerS / fallOfHole(HOLE).rateKgPerS).toBeCloseTo(4, 12);
  });

  test('is choked above p ((kappa + 1) / 2)^(kappa / (kappa - 1)): 1.1^6 times the pressure outside', () => {
    expect(chokedAbovePa()).toBeCloseTo(101_325 * 1.771561, 6);
  });

  test('keeps its rate while there is liquid, then falls by e in each V / (rate / density), down to 1 atm', () => {
    const fall = fallOfHole(HOLE);
    // p V M / (R T): 1.7e6 * 0.01 * 0.052024 / 2478.957 = 0.356766 kg.
    expect(fall.fromKg).toBeCloseTo(0.356766, 5);
    const [steady, falling] = outflowsOf(fall, CHARGE_KG, START);
    expect(steady?.kgPerS).toBeCloseTo(fall.rateKgPerS, 8);
    expect(Number(steady?.untilMs) - START).toBeCloseTo(
      (1000 * (CHARGE_KG - fall.fromKg)) / fall.rateKgPerS,
      -1,
    );
    expect(falling?.fromMs).toBe(steady?.untilMs);
    expect(falling?.kgPerS).toBeCloseTo(fall.rateKgPerS, 12);
    const tauS = fall.fromKg / fall.rateKgPerS;
    expect(Number(falling?.fallsPerS)).toBeCloseTo(1 / tauS, 12);
    const lastsS = (Number(falling?.untilMs) - Number(falling?.fromMs)) / 1000;
    expect(lastsS).toBeCloseTo(tauS * Math.log(1_700_000 / 101_325), 2);
    // What stays behind is the vapour at the pressure outside.
    const restKg = (fall.fromKg * 101_325) / 1_700_000;
    expect(CHARGE_KG - total([steady, falling].filter((one) => one !== undefined))).toBeCloseTo(restKg, 6);
  });

  test('falls from the start where the charge is all vapour, and gives nothing where it has no pressure', () => {
    const fall = fallOfHole(HOLE);
    const [only, ...others] = outflowsOf(fall, fall.fromKg / 2, START);
    expect(others).toEqual([]);
    expect(only?.kgPerS).toBeCloseTo(fall.rateKgPerS / 2, 12);
    expect(outflowsOf(fall, fall.toKg, START)).toEqual([]);
    // Liquid for a moment, and a vapour space so full of pressure that it counts.
    expect(outflowsOf({ ...fall, toKg: fall.fromKg }, CHARGE_KG, START).length).toBe(1);
  });
});

describe('a pump-down', () => {
  const PUMPED = { afterMs: 60_000, share: 0.1 };

  test('leaves a tenth of the rate from its moment on, until the release would have ended', () => {
    const outflows = outflowsOf({ rateKgPerS: 0.01, lastsMs: ms(420_000) }, CHARGE_KG, START, PUMPED);
    expect(outflows).toEqual([
      { kgPerS: 0.01, fromMs: 30_000, untilMs: 90_000 },
      { kgPerS: 0.001, fromMs: 90_000, untilMs: 450_000 },
    ]);
    expect(total(outflows)).toBeCloseTo(0.01 * 60 + 0.001 * 360, 12);
  });

  test('of one that falls leaves a tenth of what it has fallen to, and goes on falling', () => {
    const outflows = outflowsOf(emptyingBy(4.2, 60_000), CHARGE_KG, START, PUMPED);
    expect(total(outflows)).toBeCloseTo(2.1 + 0.1 * 2.1, 5);
    expect(Number(outflows[1]?.kgPerS) / Number(outflows[0]?.kgPerS)).toBeCloseTo(0.05, 12);
  });

  test('that stops the leak ends it; from the start it is all there is; after the end it is nothing', () => {
    const release = { rateKgPerS: 0.01, lastsMs: ms(420_000) };
    const stopped = outflowsOf(release, CHARGE_KG, START, { afterMs: 60_000, share: 0 });
    expect(stopped).toEqual([{ kgPerS: 0.01, fromMs: 30_000, untilMs: 90_000 }]);
    const all = outflowsOf(release, CHARGE_KG, START, { afterMs: 0, share: 0.5 });
    expect(all).toEqual([{ kgPerS: 0.005, fromMs: 30_000, untilMs: 450_000 }]);
    expect(outflowsOf(release, CHARGE_KG, START, { afterMs: 900_000, share: 0 })).toEqual(
      outflowsOf(release, CHARGE_KG, START),
    );
  });
});

test('outflows follow each other without a gap, and never give more than the charge', () => {
  const kg = fc.double({ min: 0.01, max: 50, noNaN: true });
  const halfLife = fc.tuple(kg, fc.integer({ min: 100, max: 3_600_000 })).map(([m, T]) => emptyingBy(m, T));
  const hole = fc
    .record({
      holeM: fc.double({ min: 1e-4, max: 1e-2, noNaN: true }),
      pressurePa: fc.double({ min: 2e5, max: 4e6, noNaN: true }),
      volumeM3: fc.double({ min: 1e-3, max: 0.1, noNaN: true }),
      molarMassGPerMol: fc.double({ min: 40, max: 120, noNaN: true }),
    })
    .map(fallOfHole);
  const pump = fc.option(
    fc.record({ afterMs: fc.nat(600_000), share: fc.double({ min: 0, max: 1, noNaN: true }) }),
    { nil: undefined },
  );
  fc.assert(
    fc.property(fc.oneof(halfLife, hole), kg, pump, (fall, chargeKg, pumpDown) => {
      const outflows = outflowsOf(fall, chargeKg, START, pumpDown);
      expect(total(outflows)).toBeLessThanOrEqual(chargeKg * (1 + 1e-12));
      for (const [index, one] of outflows.entries()) {
        expect(one.untilMs).toBeGreaterThan(one.fromMs);
        expect(Number.isInteger(one.untilMs)).toBe(true);
        if (index > 0) expect(one.fromMs).toBe(outflows[index - 1]?.untilMs);
      }
    }),
  );
});
