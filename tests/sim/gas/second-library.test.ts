/**
 * The matrix exponential against mathjs 15.2.0, whose expm is another method (Padé with scaling and
 * squaring): rooms whose rates lie up to a million apart, over a second to an hour, with sheltered sensors
 * and releases that fall. Both err by the rounding unit times the norm of the rates, or a few times that.
 */
import fc from 'fast-check';
import { matrix, expm as otherExpm } from 'mathjs';
import { expect, test } from 'vitest';
import { expm } from '../../../sim/gas/expm.ts';
import { airModel, modeOf, sensorSteps } from '../../../sim/gas/mode.ts';
import { sizeOf } from '../../../sim/gas/step.ts';
import { anyLayeredPlan } from './rooms.ts';

test('the matrix exponential of stiff rooms is that of a second library', () => {
  const seconds = fc.constantFrom(1, 60, 3600);
  const tauMs = fc.constantFrom(10, 4000, 100_000);
  const fallsPerS = fc.constantFrom(0, 1e-4, 10);
  let stiffest = 0;
  fc.assert(
    fc.property(anyLayeredPlan, seconds, tauMs, tauMs, fallsPerS, (plan, forS, tau, shelter, falls) => {
      const cabinetM3 = plan.cabinetM3 / 10;
      const mode = modeOf(airModel({ ...plan, cabinetM3 }), { fanBlowing: true, fallsPerS: falls }, [
        false,
        false,
        false,
      ]);
      const { generator, shape } = sensorSteps(mode, 'low', tau, shelter);
      const size = sizeOf(shape);
      const rates = generator.map((perSecond) => perSecond * forS);
      const ours = expm(rates, size);
      const rows = Array.from({ length: size }, (_, row) => [
        ...rates.subarray(row * size, (row + 1) * size),
      ]);
      const other = otherExpm(matrix(rows)).toArray().flat().map(Number);
      const diagonal = rows.map((row, index) => Math.abs(row[index] ?? 0)).filter((rate) => rate > 0);
      stiffest = Math.max(stiffest, Math.max(...diagonal) / Math.min(...diagonal));
      const norm = Math.max(...rows.map((row) => row.reduce((sum, rate) => sum + Math.abs(rate), 0)));
      const tolerance = 1e-14 * Math.max(100, norm);
      expect(other.length).toBe(size * size);
      for (const [index, value] of other.entries()) {
        expect(Math.abs(Number(ours[index]) - value)).toBeLessThanOrEqual(
          tolerance * Math.max(1, Math.abs(value)),
        );
      }
    }),
    { numRuns: 100, endOnFailure: true },
  );
  expect(stiffest).toBeGreaterThan(1e5);
});
