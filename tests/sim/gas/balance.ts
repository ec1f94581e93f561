/** What must hold of any room over any history: no gas lost or made, none below nothing or above vapour. */
import fc from 'fast-check';
import { expect } from 'vitest';
import { concentrationAt, massesAt } from '../../../sim/gas/index.ts';
import { ms } from '../../../src/units/index.ts';
import { anyCase, missingKg, type Phase, play, STILL, zonesOf } from './rooms.ts';

const RELEASES_UP_TO = [0.02, 0.5, 2];
const HOUR_MS = 3_600_000;

/** How many of the histories had a zone that filled, had layers, had a release that fell. */
export interface Seen {
  filled: number;
  layered: number;
  falling: number;
}

export function balanceHolds(runs: number): Seen {
  const seen: Seen = { filled: 0, layered: 0, falling: 0 };
  const cases = fc.oneof(...RELEASES_UP_TO.map(anyCase));
  const part = fc.double({ min: 0, max: 1, noNaN: true });
  fc.assert(
    fc.property(cases, part, fc.nat(HOUR_MS), ({ plan, phases }, share, laterMs) => {
      const quiet: Phase = { inputs: STILL, lastsMs: laterMs };
      const { courses, endMs } = play(plan, [...phases, quiet]);
      seen.filled += courses.some(({ pieces }) => pieces.length > 1) ? 1 : 0;
      seen.layered += plan.layers === undefined ? 0 : 1;
      seen.falling += courses.some(({ inputs }) => inputs.fallsPerS > 0) ? 1 : 0;
      for (const [index, course] of courses.entries()) {
        const until = courses[index + 1]?.fromMs ?? endMs;
        const moment = ms(Math.round(course.fromMs + share * (until - course.fromMs)));
        for (const now of [moment, until]) {
          const { releasedKg } = massesAt(course, now);
          expect(Math.abs(missingKg(course, now))).toBeLessThanOrEqual(1e-9 * Math.max(1e-3, releasedKg));
          const gas = zonesOf(plan).map((zone) => concentrationAt(course, zone, now));
          expect(Math.min(...gas)).toBeGreaterThanOrEqual(0);
          expect(Math.max(...gas)).toBeLessThanOrEqual(plan.vapourKgPerM3);
          // Unclipped, pure vapour is not exceeded but by rounding: hours of a quick fan add it up.
          const { cabinetKg, roomKg } = massesAt(course, now);
          const fullKg = (plan.cabinetM3 + plan.roomM3) * plan.vapourKgPerM3;
          expect(cabinetKg + roomKg).toBeLessThanOrEqual(fullKg * (1 + 1e-11));
        }
      }
    }),
    { numRuns: runs, endOnFailure: true },
  );
  return seen;
}
