/** The search for crossings leaps as far as the bound lets it: so the bound must hold, and must not crawl. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { airModel, changeAir, concentrationAt, firstCrossing, startAir } from '../../../sim/gas/index.ts';
import { ratesOf, reachS, type Watch, watched } from '../../../sim/gas/reach.ts';
import { stateAfter } from '../../../sim/gas/stretch.ts';
import { ms } from '../../../src/units/index.ts';
import { anyCase, BLOWING, FLOWS_BETWEEN, LAYERED, play, STILL } from './rooms.ts';

const SAMPLES = 40;
/** A day: what is to come then has come. */
const FARTHEST_MS = 86_400_000;

test('nothing watched leaves its limits before its reach is over, in any room under any release', () => {
  const share = fc.double({ min: 1e-6, max: 0.5, noNaN: true });
  let [curved, full] = [0, 0];
  fc.assert(
    fc.property(
      fc.oneof(anyCase(0.02), anyCase(2)),
      fc.nat(2),
      share,
      share,
      ({ plan, phases }, zone, up, down) => {
        const course = play(plan, phases).courses.at(-1);
        if (course === undefined) throw new Error('no phase drawn');
        for (const { mode, first } of course.pieces) {
          const weights = Array.from(first, (_, index) =>
            index === Math.min(zone, mode.zones.length - 1) ? 1 : 0,
          );
          const at = watched({ weights, lowest: 0, highest: 0, outside: () => false }, first);
          const watch: Watch = {
            weights,
            lowest: at - down * plan.vapourKgPerM3,
            highest: at + up * plan.vapourKgPerM3,
            outside: () => false,
          };
          const reachMs = 1000 * reachS(mode, watch, first, ratesOf(mode, first));
          expect(reachMs).toBeGreaterThan(0);
          full += mode.full.includes(true) ? 1 : 0;
          curved += Number.isFinite(reachMs) ? 1 : 0;
          const spanMs = Math.floor(Math.min(reachMs, FARTHEST_MS));
          const rounding = 1e-9 * plan.vapourKgPerM3;
          for (let sample = 1; sample <= SAMPLES; sample += 1) {
            const offsetMs = Math.floor((spanMs * sample) / SAMPLES);
            const value = watched(watch, stateAfter({ mode, start: first }, offsetMs));
            expect(value).toBeLessThanOrEqual(watch.highest + rounding);
            if (watch.lowest > 0) expect(value).toBeGreaterThanOrEqual(watch.lowest - rounding);
          }
        }
      },
    ),
    { numRuns: 400, endOnFailure: true },
  );
  expect(curved).toBeGreaterThan(100);
  expect(full).toBeGreaterThan(20);
});

describe('a zone at rest beside one that is stirred up', () => {
  test('is turned by it, and its peak is found from before, a hair below its top', () => {
    // All gas in the cabinet, then the fan: the low layer rises by what comes over, and falls as outside air wins.
    const leak = startAir(airModel(LAYERED), { ...STILL, cabinetKgPerS: 0.02 }, ms(0));
    const course = changeAir(leak, BLOWING, ms(20_000));
    let [peak, peakMs] = [0, 0];
    for (let at = 20_000; at < 400_000; at += 10) {
      const gas = concentrationAt(course, 'low', ms(at));
      if (gas > peak) [peak, peakMs] = [gas, at];
    }
    const window = { from: ms(20_000), to: ms(20_000 + FARTHEST_MS) };
    const found = firstCrossing(course, 'low', peak * (1 - 1e-9), 'up', window);
    expect(Math.abs(Number(found) - peakMs)).toBeLessThan(2000);
    expect(firstCrossing(course, 'low', peak * (1 + 1e-9), 'up', window)).toBeUndefined();
  });

  test('that gets nothing from it stays for ever', () => {
    const plan = {
      ...LAYERED,
      leakageM3PerS: 0,
      layers: { ...FLOWS_BETWEEN, lowM3: 12, mixingM3PerS: 0, drainM3PerS: 0 },
    };
    const { pieces } = startAir(airModel(plan), { ...STILL, lowKgPerS: 0.001 }, ms(0));
    const [piece] = pieces;
    if (piece === undefined) throw new Error('no piece');
    const weights = [0, 0, 1, 0, 0, 0, 0];
    const watch: Watch = { weights, lowest: 0, highest: 1e-9, outside: () => false };
    const { mode, first } = piece;
    expect(reachS(mode, watch, first, ratesOf(mode, first))).toBe(Number.POSITIVE_INFINITY);
  });
});
