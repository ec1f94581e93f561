import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type AirCourse,
  airModel,
  changeAir,
  concentrationAt,
  type Exposure,
  expose,
  followAir,
  type Lag,
  readLag,
  setTau,
  startAir,
  startLag,
} from '../../../sim/gas/index.ts';
import { kgPerM3, ms } from '../../../src/units/index.ts';
import { anyPhases, anyPlan, BLOWING, DEMO, LFL, leakInto, play, S_PER_H, STILL, VAPOUR } from './rooms.ts';

const IN_CABINET: Exposure = { zone: 'cabinet', hoseKgPerM3: null };
const IN_ROOM: Exposure = { zone: 'room', hoseKgPerM3: null };
const CLEAN = startAir(airModel(DEMO), STILL, ms(0));

function lagOf(course: AirCourse, exposure: Exposure, tauS: number, now = course.fromMs): Lag {
  return startLag(course, { tauMs: ms(1000 * tauS), exposure, response: kgPerM3(0) }, now);
}
const hose = (level: number): Exposure => ({ zone: 'cabinet', hoseKgPerM3: level });

/** A cabinet that the whole charge in 4 min fills after 162 s. */
const TIGHT = { ...DEMO, leakageM3PerS: 5 / S_PER_H };

describe('a sensor with tau = 10 s', () => {
  test('never crosses a level that equals the stimulus', () => {
    const lag = lagOf(CLEAN, hose(0.25 * LFL), 10);
    expect(readLag(lag, ms(300_000))).toBeLessThan(0.25 * LFL);
  });
});

describe('a lag', () => {
  test('shows the same however often it was read in between', () => {
    const course = startAir(airModel(DEMO), leakInto('cabinet', 0.006), ms(0));
    const pauses = fc.array(fc.integer({ min: 0, max: 5000 }), { minLength: 1, maxLength: 50 });
    fc.assert(
      fc.property(pauses, fc.constantFrom(IN_CABINET, IN_ROOM, hose(0.1)), (list, exposure) => {
        const [often, once] = [lagOf(course, exposure, 4), lagOf(course, exposure, 4)];
        let at = 0;
        for (const pause of list) {
          at += pause;
          readLag(often, ms(at));
        }
        expect(readLag(often, ms(at))).toBeCloseTo(readLag(once, ms(at)), 13);
      }),
    );
  });

  test('follows the air over changes of its inputs, and through zones that fill with vapour', () => {
    const tauS = 3;
    fc.assert(
      fc.property(anyPlan, anyPhases(0.5), fc.constantFrom(IN_CABINET, IN_ROOM), (plan, phases, exposure) => {
        const short = phases.map(({ inputs, lastsMs }) => ({ inputs, lastsMs: 1 + (lastsMs % 60_000) }));
        const { courses, endMs } = play(plan, short);
        const [first, ...others] = courses;
        if (first === undefined) throw new Error('no phase drawn');
        const lag = lagOf(first, exposure, tauS);
        for (const course of others) followAir(lag, course);
        // Plain version: the gas sampled every 10 ms and held at its mean over each.
        let y = 0;
        for (const [i, course] of courses.entries()) {
          const until = courses[i + 1]?.fromMs ?? endMs;
          for (let at: number = course.fromMs; at < until; at += 10) {
            const next = Math.min(at + 10, until);
            const ends = [at, next].map((moment) => concentrationAt(course, exposure.zone, ms(moment)));
            const mean = (Number(ends[0]) + Number(ends[1])) / 2;
            y = mean + (y - mean) * Math.exp((at - next) / 1000 / tauS);
          }
        }
        expect(Math.abs(readLag(lag, endMs) - y)).toBeLessThan(1e-4 * plan.vapourKgPerM3);
      }),
      { numRuns: 40, endOnFailure: true },
    );
  });

  test('goes through the instant at which its zone fills, read once or every second', () => {
    const course = startAir(airModel(TIGHT), leakInto('cabinet', 4.2 / 240), ms(0));
    for (const exposure of [IN_CABINET, IN_ROOM]) {
      const [often, once] = [lagOf(course, exposure, 4), lagOf(course, exposure, 4)];
      for (let second = 1; second <= 240; second += 1) readLag(often, ms(1000 * second));
      expect(readLag(once, ms(240_000))).toBeCloseTo(readLag(often, ms(240_000)), 12);
    }
    const settled = lagOf(course, IN_CABINET, 4);
    expect(readLag(settled, ms(400_000))).toBeCloseTo(VAPOUR, 9);
    expect(readLag(settled, ms(4_000_000))).toBeLessThanOrEqual(VAPOUR);
  });

  test('may begin in the middle of a course, behind an instant at which a zone filled', () => {
    const course = startAir(airModel(TIGHT), leakInto('cabinet', 4.2 / 240), ms(0));
    const lag = lagOf(course, IN_CABINET, 4, ms(230_000));
    expect(readLag(lag, ms(234_000))).toBeCloseTo(VAPOUR * -Math.expm1(-1), 12);
  });

  test('under a hose feels the test gas alone, and its zone again when the hose goes', () => {
    const leak = startAir(airModel(DEMO), leakInto('cabinet', 0.006), ms(0));
    const lag = lagOf(leak, IN_CABINET, 4);
    expose(lag, hose(0.4 * LFL), ms(10_000));
    const before = readLag(lag, ms(10_000));
    expect(readLag(lag, ms(30_000))).toBeCloseTo(0.4 * LFL + (before - 0.4 * LFL) * Math.exp(-5), 12);
    const blown = changeAir(leak, { ...BLOWING, cabinetKgPerS: 0.006 }, ms(35_000));
    followAir(lag, blown);
    expose(lag, IN_CABINET, ms(40_000));
    const shown = readLag(lag, ms(40_000));
    const fresh = startLag(blown, { tauMs: ms(4000), exposure: IN_CABINET, response: shown }, ms(40_000));
    expect(readLag(lag, ms(55_000))).toBeCloseTo(readLag(fresh, ms(55_000)), 13);
  });

  test('mounted elsewhere feels that zone from then on', () => {
    const leak = startAir(airModel(DEMO), leakInto('cabinet', 0.006), ms(0));
    const lag = lagOf(leak, IN_CABINET, 4);
    expose(lag, IN_ROOM, ms(20_000));
    expect(readLag(lag, ms(120_000))).toBeLessThan(concentrationAt(leak, 'room', ms(120_000)));
    expect(readLag(lag, ms(120_000))).toBeGreaterThan(concentrationAt(leak, 'room', ms(110_000)));
  });

  test('made slower keeps what it showed and goes on at its new pace', () => {
    const lag = lagOf(CLEAN, hose(0.2), 4);
    setTau(lag, ms(40_000), ms(4000));
    const shown = 0.2 * -Math.expm1(-1);
    expect(readLag(lag, ms(4000))).toBeCloseTo(shown, 14);
    expect(readLag(lag, ms(44_000))).toBeCloseTo(0.2 + (shown - 0.2) * Math.exp(-1), 13);
  });

  test('does not go back in time, nor takes a tau or a level that cannot be', () => {
    const lag = lagOf(CLEAN, IN_CABINET, 4);
    readLag(lag, ms(1000));
    expect(readLag(lag, ms(1000))).toBe(0);
    expect(() => readLag(lag, ms(999))).toThrow(RangeError);
    expect(() => lagOf(CLEAN, IN_CABINET, 0)).toThrow(RangeError);
    expect(() => {
      expose(lag, hose(VAPOUR * 1.001), ms(2000));
    }).toThrow(RangeError);
    expect(() => lagOf(CLEAN, hose(-0.1), 4)).toThrow(RangeError);
  });
});

describe('a sheltered sensor', () => {
  const SHELTERED = { tauMs: ms(4000), shelterTauMs: ms(20_000), response: kgPerM3(0) };

  test('follows its place through its pocket: two lags in a row after a step (textbook)', () => {
    // A sealed room that is filled in a ms and then at rest: a step.
    const plan = { ...DEMO, outsideM3PerS: 0, leakageM3PerS: 0 };
    const puff = startAir(airModel(plan), leakInto('room', 6), ms(0));
    const rest = changeAir(puff, STILL, ms(1000));
    const gas = concentrationAt(rest, 'room', ms(1000));
    const lag = startLag(rest, { ...SHELTERED, exposure: IN_ROOM }, ms(1000));
    for (const seconds of [0, 1, 10, 60, 300]) {
      const [own, pocket] = [Math.exp(-seconds / 4), Math.exp(-seconds / 20)];
      const closed = gas * (1 - (20 * pocket - 4 * own) / 16);
      expect(readLag(lag, ms(1000 + 1000 * seconds))).toBeCloseTo(closed, 12);
    }
  });

  test('shows the same however often it was read, and less than one in the stream while gas rises', () => {
    const course = startAir(airModel(DEMO), leakInto('cabinet', 0.006), ms(0));
    const start = { ...SHELTERED, exposure: IN_CABINET };
    const [often, once, inStream] = [
      startLag(course, start, ms(0)),
      startLag(course, start, ms(0)),
      lagOf(course, IN_CABINET, 4),
    ];
    for (let second = 1; second <= 60; second += 1) readLag(often, ms(1000 * second));
    expect(readLag(often, ms(60_000))).toBeCloseTo(readLag(once, ms(60_000)), 13);
    expect(readLag(once, ms(60_000))).toBeLessThan(0.9 * readLag(inStream, ms(60_000)));
  });

  test('feels a hose at once, and finds its pocket full of that gas when the hose goes', () => {
    const lag = startLag(CLEAN, { ...SHELTERED, exposure: hose(0.1) }, ms(0));
    expect(readLag(lag, ms(4000))).toBeCloseTo(0.1 * -Math.expm1(-1), 13);
    readLag(lag, ms(400_000));
    expose(lag, IN_CABINET, ms(400_000));
    const shown = readLag(lag, ms(410_000));
    const closed = (0.1 * (20 * Math.exp(-0.5) - 4 * Math.exp(-2.5))) / 16;
    expect(shown).toBeCloseTo(closed, 12);
  });

  test('goes through the instant at which its zone fills', () => {
    const course = startAir(airModel(TIGHT), leakInto('cabinet', 4.2 / 240), ms(0));
    const start = { ...SHELTERED, exposure: IN_CABINET };
    const [often, once] = [startLag(course, start, ms(0)), startLag(course, start, ms(0))];
    for (let second = 1; second <= 240; second += 1) readLag(often, ms(1000 * second));
    expect(readLag(once, ms(240_000))).toBeCloseTo(readLag(often, ms(240_000)), 12);
    expect(() => startLag(course, { ...start, shelterTauMs: ms(-1) }, ms(0))).toThrow(RangeError);
  });
});
