import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { blendOf, compositionProblem, PURE_NAMES, ROWS } from '../../../src/refrigerant/index.ts';

describe('a blend', () => {
  test('has the molar mass that CoolProp gives it, to 0.005 g/mol', () => {
    for (const { name, parts, facts } of ROWS.filter((row) => row.facts.molarMass.coolprop !== undefined)) {
      expect(Math.abs(blendOf(parts).molarMassGPerMol - Number(facts.molarMass.coolprop)), name).toBeLessThan(
        0.005,
      );
    }
  });

  test('of R-32 and R-125 does not count the part that cannot burn, and one without any does not burn', () => {
    const [half] = ROWS.filter(({ name }) => name === 'R-410A').map(({ parts }) => blendOf(parts));
    const x32 = half?.moleFractions[0]?.fraction ?? Number.NaN;
    expect(half?.lfl?.percentVol).toBeCloseTo(14.4 / x32, 10);
    expect(
      blendOf([
        { name: 'R-125', massPercent: 40 },
        { name: 'R-744', massPercent: 60 },
      ]).lfl,
    ).toBeNull();
  });

  test('has an LFL between those of its parts, and mole fractions that make one', () => {
    const share = fc.double({ min: 0, max: 100, noNaN: true });
    fc.assert(
      fc.property(share, (r32) => {
        const parts = [
          { name: 'R-32', massPercent: r32 },
          { name: 'R-1234yf', massPercent: 100 - r32 },
        ];
        const { lfl, moleFractions } = blendOf(parts);
        expect(lfl?.percentVol).toBeGreaterThanOrEqual(6.2 - 1e-9);
        expect(lfl?.percentVol).toBeLessThanOrEqual(14.4 + 1e-9);
        expect(moleFractions.reduce((sum, { fraction }) => sum + fraction, 0)).toBeCloseTo(1, 12);
      }),
    );
  });

  test('must add up to 100 %, give or take 0.1, of fluids that are known', () => {
    const of = (...shares: number[]) =>
      shares.map((massPercent, index) => ({ name: PURE_NAMES[index] ?? '', massPercent }));
    expect(compositionProblem(of(60, 40.1))).toBeNull();
    expect(compositionProblem(of(60, 39.9))).toBeNull();
    expect(compositionProblem(of(60, 40.2))).toMatch(/adds up to 100\.2 %/u);
    expect(compositionProblem([{ name: 'R-999', massPercent: 100 }])).toMatch(/"R-999" is not a pure fluid/u);
    expect(() => blendOf(of(60, 30))).toThrow(RangeError);
    expect(() => blendOf([{ name: 'R-999', massPercent: 100 }])).toThrow(RangeError);
  });
});
