import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { airModel, changeAir, concentrationAt, firstCrossing, startAir } from '../../../sim/gas/index.ts';
import { type Ms, ms } from '../../../src/units/index.ts';
import {
  anyCase,
  anyPhases,
  anyPlan,
  BLOWING,
  DEMO,
  LFL,
  leakInto,
  oneZone,
  play,
  S_PER_H,
  STILL,
  VAPOUR,
  zonesOf,
} from './rooms.ts';

const window = (from: number, to: number): { from: Ms; to: Ms } => ({ from: ms(from), to: ms(to) });
const HOUR_MS = 3_600_000;

/** A cabinet that the whole charge in 4 min fills after 162 s. */
const TIGHT = { ...DEMO, leakageM3PerS: 5 / S_PER_H };

describe('a crossing', () => {
  test('is the first whole ms after that of the closed form, -(V/Q) ln(1 - C Q/G) (textbook)', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        fc.integer({ min: 1, max: 99 }),
        (changes, share) => {
          const plan = oneZone(30, changes);
          const steady = 0.004 / plan.outsideM3PerS;
          const level = (share / 100) * Math.min(steady, 2);
          const course = startAir(airModel(plan), leakInto('room', 0.004), ms(0));
          const closedMs = (-1000 * 30 * Math.log1p(-level / steady)) / plan.outsideM3PerS;
          const found = firstCrossing(course, 'room', level, 'up', window(0, 1e12));
          expect(Math.abs(Number(found) - closedMs)).toBeLessThanOrEqual(1);
        },
      ),
    );
  });

  test('is found on both flanks of a zone that rises and falls under the same inputs', () => {
    // 6 g/s for 2 min, then the fan: the room rises while the cabinet empties into it, then outside air wins.
    const leak = startAir(airModel(DEMO), leakInto('cabinet', 0.006), ms(0));
    const course = changeAir(leak, BLOWING, ms(120_000));
    const level = 0.034 * LFL;
    const up = firstCrossing(course, 'room', level, 'up', window(120_000, 10 * HOUR_MS));
    const down = firstCrossing(course, 'room', level, 'down', window(120_000, 10 * HOUR_MS));
    expect(Number(up)).toBeGreaterThan(120_000);
    expect(Number(down)).toBeGreaterThan(Number(up));
    for (const [moment, before, after] of [
      [up, false, true],
      [down, true, false],
    ] as const) {
      const at = Number(moment);
      expect(concentrationAt(course, 'room', ms(at - 1)) >= level).toBe(before);
      expect(concentrationAt(course, 'room', ms(at)) >= level).toBe(after);
    }
    expect(firstCrossing(course, 'room', level, 'up', window(Number(up), 10 * HOUR_MS))).toBeUndefined();
  });

  test('finds a peak that lasts but a few ms above the level', () => {
    const leak = startAir(airModel(DEMO), leakInto('cabinet', 0.006), ms(0));
    const course = changeAir(leak, BLOWING, ms(120_000));
    let [peak, peakMs] = [0, 0];
    for (let at = 120_000; at < 300_000; at += 1) {
      const gas = concentrationAt(course, 'room', ms(at));
      if (gas > peak) [peak, peakMs] = [gas, at];
    }
    const found = firstCrossing(course, 'room', peak * (1 - 1e-12), 'up', window(120_000, HOUR_MS));
    expect(Math.abs(Number(found) - peakMs)).toBeLessThan(100);
    expect(firstCrossing(course, 'room', peak * (1 + 1e-12), 'up', window(120_000, HOUR_MS))).toBeUndefined();
  });

  test('is not told outside the window, and at its last ms still is', () => {
    const course = startAir(airModel(oneZone(30, 0)), leakInto('room', 0.003), ms(0));
    // 0.1 g/m3 a second: 0.05 kg/m3 after 500 s.
    const level = 0.05 - 1e-12;
    expect(firstCrossing(course, 'room', level, 'up', window(0, 499_999))).toBeUndefined();
    expect(firstCrossing(course, 'room', level, 'up', window(0, 500_000))).toBe(500_000);
    expect(firstCrossing(course, 'room', level, 'up', window(499_999, 500_000))).toBe(500_000);
    expect(firstCrossing(course, 'room', level, 'up', window(500_000, 600_000))).toBeUndefined();
    expect(() => firstCrossing(course, 'room', level, 'up', window(0.5, 600_000))).toThrow(RangeError);
    expect(() => firstCrossing(course, 'room', level, 'up', window(-1, 600_000))).toThrow(RangeError);
  });

  test('counts gas at the level as above it, pure vapour too', () => {
    const course = startAir(airModel(TIGHT), leakInto('cabinet', 4.2 / 240), ms(0));
    const full = firstCrossing(course, 'cabinet', VAPOUR, 'up', window(0, HOUR_MS));
    expect(full).toBe(course.pieces[1]?.firstMs);
  });

  test('is found beyond a change of mode', () => {
    const course = startAir(airModel(TIGHT), leakInto('cabinet', 4.2 / 240), ms(0));
    const full = Number(course.pieces[1]?.firstMs);
    // A hair below, since each way of adding up has its own last bit.
    const level = concentrationAt(course, 'room', ms(full + 5000)) * (1 - 1e-12);
    expect(firstCrossing(course, 'room', level, 'up', window(0, HOUR_MS))).toBe(full + 5000);
    expect(firstCrossing(course, 'room', level, 'up', window(full + 100, HOUR_MS))).toBe(full + 5000);
    expect(firstCrossing(course, 'room', level, 'up', window(0, full - 1))).toBeUndefined();
  });

  test('is never early, late or missed against looking at every ms', () => {
    // Not at the very ends, nor where nothing moves: there the last bit decides, and each way of adding has
    // its own.
    const level = fc.double({ min: 0.001, max: 0.999, noNaN: true });
    const zone = fc.constantFrom('cabinet', 'room');
    fc.assert(
      fc.property(anyPlan, anyPhases(0.5), level, zone, (plan, phases, share, where) => {
        const last = play(plan, phases).courses.at(-1);
        if (last === undefined) throw new Error('no phase drawn');
        const from = last.fromMs;
        const range = window(from, from + 2000);
        const seen = Array.from({ length: 2001 }, (_, i) => concentrationAt(last, where, ms(from + i)));
        const [a = 0, z = 0] = [seen[0], seen.at(-1)];
        fc.pre(Math.abs(z - a) > 1e-9);
        const above = a + share * Math.abs(z - a);
        const up = seen.findIndex((gas, i) => i > 0 && gas >= above && (seen[i - 1] ?? 0) < above);
        const crossed = firstCrossing(last, where, above, 'up', range);
        expect(crossed ?? -1).toBe(up < 0 ? -1 : from + up);
      }),
      { numRuns: 100, endOnFailure: true },
    );
  });
});

describe('in layers, and under releases that fall', () => {
  test('a crossing is never early, late or missed against looking at every ms', () => {
    const level = fc.double({ min: 0.01, max: 0.99, noNaN: true });
    fc.assert(
      fc.property(anyCase(0.5), level, fc.nat(2), ({ plan, phases }, share, number) => {
        const last = play(plan, phases).courses.at(-1);
        if (last === undefined) throw new Error('no phase drawn');
        const where = zonesOf(plan)[number] ?? 'cabinet';
        const from = last.fromMs;
        const seen = Array.from({ length: 4001 }, (_, i) => concentrationAt(last, where, ms(from + i)));
        const [least, most] = [Math.min(...seen), Math.max(...seen)];
        // A level no further than rounding from the gas is for nobody to tell.
        fc.pre(most - least > 1e-9);
        const at = least + share * (most - least);
        const up = seen.findIndex((gas, i) => i > 0 && gas >= at && (seen[i - 1] ?? 0) < at);
        const down = seen.findIndex((gas, i) => i > 0 && gas < at && (seen[i - 1] ?? 0) >= at);
        const range = window(from, from + 4000);
        expect(firstCrossing(last, where, at, 'up', range) ?? -1).toBe(up < 0 ? -1 : from + up);
        expect(firstCrossing(last, where, at, 'down', range) ?? -1).toBe(down < 0 ? -1 : from + down);
      }),
      { numRuns: 100, endOnFailure: true },
    );
  });

  test('a zone that rises, falls and rises again under the same inputs crosses three times', () => {
    // A little gas in the high layer, much in the cabinet: its drain lifts the low layer at once, the slow
    // exchange lets it fall into the high one, and a leak into it wins in the end.
    const layers = {
      lowM3: 1,
      mixingM3PerS: 0.05,
      drainM3PerS: 0.02,
      returnFrom: 'low',
      outsideInto: 'high',
      outsideOutOf: 'high',
    } as const;
    const plan = { ...DEMO, cabinetM3: 0.4, roomM3: 61, leakageM3PerS: 0, outsideM3PerS: 0, layers };
    const leak = startAir(airModel(plan), leakInto('cabinet', 0.4), ms(0));
    const course = changeAir(leak, { ...STILL, lowKgPerS: 0.0005 }, ms(1000));
    const level = 0.03;
    const above = (at: number): boolean => concentrationAt(course, 'low', ms(at)) >= level;
    const seconds = Array.from({ length: 2999 }, (_, index) => 1 + index);
    const turns = seconds.filter((second) => above(1000 * second) !== above(1000 * (second + 1)));
    const found: number[] = [];
    for (const side of ['up', 'down', 'up'] as const) {
      const next = firstCrossing(course, 'low', level, side, window(found.at(-1) ?? 1000, 3_000_000));
      if (next === undefined) break;
      found.push(next);
      expect([above(next - 1), above(next)]).toEqual([side === 'down', side === 'up']);
    }
    expect(found.map((at) => Math.floor((at - 1) / 1000))).toEqual(turns);
    expect(turns.length).toBe(3);
  });
});
