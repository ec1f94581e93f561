import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { airModel, changeAir, concentrationAt, massesAt, startAir } from '../../../sim/gas/index.ts';
import { ms } from '../../../src/units/index.ts';
import {
  anyPhases,
  anyPlan,
  BLOWING,
  DEMO,
  fullOf,
  leakInto,
  missingKg,
  play,
  S_PER_H,
  STILL,
  VAPOUR,
} from './rooms.ts';

const HOUR_MS = 3_600_000;

describe('cabinet and room', () => {
  test('approach G/Qo in the room and G/Qo + G/Qx in the cabinet under a steady leak (textbook)', () => {
    const course = startAir(airModel(DEMO), leakInto('cabinet', 0.006), ms(0));
    const room = 0.006 / DEMO.outsideM3PerS;
    expect(concentrationAt(course, 'room', ms(1000 * HOUR_MS))).toBeCloseTo(room, 9);
    expect(concentrationAt(course, 'cabinet', ms(1000 * HOUR_MS))).toBeCloseTo(
      room + 0.006 / DEMO.leakageM3PerS,
      9,
    );
  });

  test('are at a moment what they are however one came there', () => {
    const direct = startAir(airModel(DEMO), leakInto('cabinet', 0.006), ms(0));
    const cut = changeAir(changeAir(direct, direct.inputs, ms(12_345)), direct.inputs, ms(67_890));
    for (const zone of ['cabinet', 'room'] as const) {
      const [one, other] = [direct, cut].map((course) => concentrationAt(course, zone, ms(100_000)));
      expect(one).toBeCloseTo(Number(other), 14);
    }
    expect(massesAt(cut, ms(100_000)).releasedKg).toBeCloseTo(0.6, 14);
  });

  test('stay clean without a release, for ever', () => {
    const course = startAir(airModel(DEMO), BLOWING, ms(0));
    expect(concentrationAt(course, 'cabinet', ms(2 ** 45))).toBe(0);
    expect(course.pieces.length).toBe(1);
  });

  test('cannot be asked about a moment before the course, or between two ms', () => {
    const course = startAir(airModel(DEMO), STILL, ms(1000));
    expect(() => concentrationAt(course, 'room', ms(999))).toThrow(RangeError);
    expect(() => concentrationAt(course, 'room', ms(1000.5))).toThrow(RangeError);
    expect(() => startAir(airModel(DEMO), STILL, ms(0.5))).toThrow(RangeError);
    expect(() => changeAir(course, leakInto('room', -1), ms(1000))).toThrow(RangeError);
    expect(() => changeAir(course, leakInto('cabinet', Number.NaN), ms(1000))).toThrow(RangeError);
  });
});

describe('over any history of leaks and fan', () => {
  test.each([0.02, 2])('no gas is lost or made, to 1e-9 of it (releases up to %d kg/s)', (kgPerSMax) => {
    fc.assert(
      fc.property(anyPlan, anyPhases(kgPerSMax), fc.nat(HOUR_MS), (plan, phases, laterMs) => {
        const { courses, endMs } = play(plan, [...phases, { inputs: STILL, lastsMs: laterMs }]);
        for (const [i, course] of courses.entries()) {
          const until = courses[i + 1]?.fromMs ?? endMs;
          const released = massesAt(course, until).releasedKg;
          expect(Math.abs(missingKg(course, until))).toBeLessThanOrEqual(1e-9 * Math.max(1e-3, released));
        }
      }),
      { numRuns: 300, endOnFailure: true },
    );
  });

  test('no concentration is negative or above pure vapour, and a course has three pieces at most', () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(anyPlan, anyPhases(2), share, (plan, phases, part) => {
        const { courses, endMs } = play(plan, phases);
        for (const [i, course] of courses.entries()) {
          const until = courses[i + 1]?.fromMs ?? endMs;
          const moment = ms(Math.round(course.fromMs + part * (until - course.fromMs)));
          const { cabinetKg, roomKg } = massesAt(course, moment);
          const ceiling = plan.vapourKgPerM3 * (1 + 2e-12);
          expect(Math.min(cabinetKg, roomKg)).toBeGreaterThanOrEqual(0);
          expect(cabinetKg / plan.cabinetM3).toBeLessThanOrEqual(ceiling);
          expect(roomKg / plan.roomM3).toBeLessThanOrEqual(ceiling);
          expect(concentrationAt(course, 'cabinet', moment)).toBeLessThanOrEqual(plan.vapourKgPerM3);
          expect(course.pieces.length).toBeLessThanOrEqual(3);
        }
      }),
      { numRuns: 300, endOnFailure: true },
    );
  });
});

describe('a zone that fills with vapour', () => {
  const wholeCharge = leakInto('cabinet', 4.2 / 240);
  const TIGHT = { ...DEMO, leakageM3PerS: 5 / S_PER_H };

  test('would in the demo room, if it leaked its 4.2 kg in 4 min for longer (1.2 m3, fan off)', () => {
    const course = startAir(airModel(DEMO), wholeCharge, ms(0));
    for (let second = 0; second <= 1000; second += 1) {
      expect(concentrationAt(course, 'cabinet', ms(second * 1000))).toBeLessThanOrEqual(VAPOUR);
    }
    expect(concentrationAt(course, 'cabinet', ms(240_000))).toBeLessThan(VAPOUR);
    expect(concentrationAt(course, 'cabinet', ms(1_000_000))).toBe(VAPOUR);
  });

  test('stays at pure vapour, and its surplus goes into the room (4.2 kg in 4 min, 5 m3/h leakage)', () => {
    const course = startAir(airModel(TIGHT), wholeCharge, ms(0));
    expect(course.pieces.map(fullOf)).toEqual(['', 'cabinet']);
    let highest = 0;
    for (let second = 0; second <= 240; second += 1) {
      highest = Math.max(highest, concentrationAt(course, 'cabinet', ms(second * 1000)));
    }
    expect(highest).toBe(VAPOUR);
    const full = Number(course.pieces[1]?.firstMs);
    const room = concentrationAt(course, 'room', ms(full));
    // From then on Vr Cr' = G - Qo Cr, in closed form.
    const [steady, perS] = [4.2 / 240 / DEMO.outsideM3PerS, DEMO.outsideM3PerS / 60];
    const closed = steady + (room - steady) * Math.exp(-perS * (240 - full / 1000));
    expect(concentrationAt(course, 'room', ms(240_000))).toBeCloseTo(closed, 9);
    expect(Math.abs(missingKg(course, ms(240_000)))).toBeLessThan(1e-9);
  });

  test('fills at the instant of the closed form, between two ms (sealed cabinet: t = rho V / G)', () => {
    const plan = { ...DEMO, leakageM3PerS: 0, outsideM3PerS: 0 };
    const course = startAir(airModel(plan), wholeCharge, ms(0));
    const instant = (VAPOUR * plan.cabinetM3 * 1000) / (4.2 / 240);
    const piece = course.pieces[1];
    expect(Number(piece?.firstMs) - Number(piece?.leadMs)).toBeCloseTo(instant, 6);
    expect(concentrationAt(course, 'room', ms(Math.floor(instant)))).toBe(0);
    const later = ms(Math.ceil(instant) + 1000);
    expect(massesAt(course, later).roomKg).toBeCloseTo((4.2 / 240) * ((later - instant) / 1000), 7);
  });

  test('is left as the release ends or the fan starts, and the gas spreads', () => {
    const full = startAir(airModel(TIGHT), wholeCharge, ms(0));
    for (const inputs of [STILL, { ...wholeCharge, fanBlowing: true }]) {
      const next = changeAir(full, inputs, ms(230_000));
      expect(next.pieces.map(fullOf)).toEqual(['']);
      expect(concentrationAt(next, 'cabinet', ms(230_000))).toBe(VAPOUR);
      expect(concentrationAt(next, 'cabinet', ms(240_000))).toBeLessThan(VAPOUR);
    }
  });

  test('stays full over a change of input that leaves it more than it can lose', () => {
    const full = startAir(airModel(TIGHT), wholeCharge, ms(0));
    const next = changeAir(full, leakInto('cabinet', 0.03), ms(230_000));
    expect(next.pieces.slice(0, 1).map(fullOf)).toEqual(['cabinet']);
    expect(concentrationAt(next, 'cabinet', ms(231_000))).toBe(VAPOUR);
  });

  test('ends being full by itself once the emptying room takes more than the release brings', () => {
    // Both zones at vapour; then a small leak holds the cabinet there until the room has aired enough.
    const plan = { ...DEMO, outsideM3PerS: 0.5 };
    const flood = startAir(airModel(plan), { fanBlowing: false, cabinetKgPerS: 2, roomKgPerS: 4 }, ms(0));
    expect(flood.pieces.map(fullOf)).toEqual(['', 'cabinet', 'cabinet room']);
    const aired = changeAir(flood, leakInto('cabinet', 0.006), ms(HOUR_MS));
    expect(aired.pieces.map(fullOf)).toEqual(['cabinet', '']);
    const turn = aired.pieces[1];
    const roomThen = Number(turn?.start[1]);
    // The balance turns where P = Qx (rho - Cr).
    expect(roomThen).toBeCloseTo(VAPOUR - 0.006 / plan.leakageM3PerS, 9);
    const perS = plan.outsideM3PerS / plan.roomM3;
    const steady = 0.006 / plan.outsideM3PerS;
    const seconds = -Math.log((roomThen - steady) / (VAPOUR - steady)) / perS;
    expect(Number(turn?.firstMs) - Number(turn?.leadMs) - HOUR_MS).toBeCloseTo(1000 * seconds, 5);
    expect(Math.abs(missingKg(aired, ms(2 * HOUR_MS)))).toBeLessThan(
      1e-9 * massesAt(aired, ms(2 * HOUR_MS)).releasedKg,
    );
  });

  test('is not missed where it fills by a hair and empties soon after', () => {
    // The cabinet has all but reached the full room's vapour; a small leak lifts it over, the airing room
    // takes it down again. Far ahead all is at rest, and says nothing about it.
    const plan = { ...DEMO, outsideM3PerS: 0.04 };
    const flood = startAir(airModel(plan), leakInto('room', 2, true), ms(0));
    const course = changeAir(flood, leakInto('cabinet', 0.006), ms(120_000));
    expect(course.pieces.map(fullOf)).toEqual(['', 'cabinet', '']);
    expect(Math.abs(missingKg(course, ms(HOUR_MS)))).toBeLessThan(1e-9 * 240);
  });

  test('may be the room alone; what it cannot take goes outdoors', () => {
    const course = startAir(airModel(DEMO), leakInto('room', 1), ms(0));
    expect(course.pieces.map(fullOf)).toEqual(['', 'room']);
    const moment = ms(HOUR_MS);
    expect(concentrationAt(course, 'room', moment)).toBe(VAPOUR);
    expect(concentrationAt(course, 'cabinet', moment)).toBeLessThanOrEqual(VAPOUR);
    expect(Math.abs(missingKg(course, moment))).toBeLessThan(1e-9 * 3600);
    expect(changeAir(course, course.inputs, moment).pieces.map(fullOf)).toEqual(['room']);
  });

  test('may be the room first and the cabinet after it', () => {
    const inputs = { fanBlowing: false, cabinetKgPerS: 0.001, roomKgPerS: 2 };
    const course = startAir(airModel(DEMO), inputs, ms(0));
    expect(course.pieces.map(fullOf)).toEqual(['', 'room', 'cabinet room']);
    const moment = ms(5 * HOUR_MS);
    expect(concentrationAt(course, 'cabinet', moment)).toBe(VAPOUR);
    expect(missingKg(course, moment)).toBeLessThan(1e-9 * 36_000);
  });
});
