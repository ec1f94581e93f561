import { describe, expect, test } from 'vitest';
import { Atmosphere } from '../../../../sim/world/atmosphere.ts';
import { benchCourses, LEAK_MS } from '../../../../src/app/figures/bench-courses.ts';
import { ms } from '../../../../src/units/index.ts';
import { demoRig } from '../../../helpers/demo.ts';

const RIG = demoRig();
const [OFF, ON] = benchCourses(RIG);
if (OFF === undefined || ON === undefined) throw new Error('two courses');

/** The reading of coil-a, played on the bench's own air apart from the course. */
function readingAt(atMs: number, fanOn: boolean): number {
  const air = new Atmosphere(RIG, ms(0));
  air.setBlowing(fanOn, ms(0));
  air.setRelease('cabinet', RIG.chargeKg / (LEAK_MS / 1000), ms(0));
  if (atMs >= LEAK_MS) air.setRelease('cabinet', 0, ms(LEAK_MS));
  return air.sensed(0, ms(atMs));
}

describe('the whole charge in 4 min', () => {
  test.each([
    ['off', OFF, false],
    ['on', ON, true],
  ] as const)(
    'reaches 25 %%LFL in the reading with the fan %s at the very millisecond',
    (_, course, fanOn) => {
      const at = Number(course.sensors[0]?.quarterAtMs);
      expect(readingAt(at, fanOn)).toBeGreaterThanOrEqual(25);
      expect(readingAt(at - 1, fanOn)).toBeLessThan(25);
    },
  );

  test('never reaches it at the grille of the archive room, and says so', () => {
    expect(ON.sensors.map(({ id, quarterAtMs }) => [id, quarterAtMs === null])).toEqual([
      ['coil-a', false],
      ['coil-b', false],
      ['grille', true],
    ]);
  });

  test('peaks in the cabinet as the leak ends, far higher with the fan off', () => {
    const peaks = [OFF, ON].map(({ places }) => places.find(({ place }) => place === 'cabinet')?.peak);
    expect(peaks.map((peak) => peak?.atMs)).toEqual([LEAK_MS, LEAK_MS]);
    expect(Number(peaks[0]?.value)).toBeGreaterThan(5 * Number(peaks[1]?.value));
  });

  test('clears when every place is below clearBelow to stay, to the millisecond', () => {
    const { clearBelow } = RIG.policy;
    for (const { places, clearAtMs } of [OFF, ON]) {
      if (clearAtMs === null) throw new Error('never clear');
      expect(clearAtMs).toBeGreaterThan(LEAK_MS);
      for (const { truth } of places) {
        expect(truth.filter(({ atMs, value }) => atMs >= clearAtMs && value >= clearBelow)).toEqual([]);
      }
      const before = places.flatMap(({ truth }) => truth.filter(({ atMs }) => atMs < clearAtMs).slice(-1));
      expect(before.some(({ value }) => value >= clearBelow)).toBe(true);
    }
  });

  test('never clears in a closed room that holds too little air', () => {
    const closed = { ...RIG, room: { ...RIG.room, airChangesPerS: 0 } };
    expect(benchCourses(closed).map(({ clearAtMs }) => clearAtMs)).toEqual([null, null]);
  });

  test('says when a closed room is as good as at its level, not when rounding stops', () => {
    const closed = { ...RIG, room: { ...RIG.room, airChangesPerS: 0 } };
    const [, on] = benchCourses(closed);
    const peak = on?.places.find(({ place }) => place === 'room-low')?.peak;
    // Cabinet and room together: 4.2 kg in 61.2 m3.
    expect(peak?.value).toBeCloseTo((100 * 4.2) / 61.2 / 0.307, 6);
    expect(Number(peak?.atMs)).toBeLessThan(600_000);
  });

  test('is clear from the start where hardly anything leaks', () => {
    const little = { ...RIG, chargeKg: 0.001 };
    expect(benchCourses(little).map(({ clearAtMs }) => clearAtMs)).toEqual([0, 0]);
  });
});
