/** Scenarios over the composed core, judged by what can be seen from outside: serving calls, and stopping. */
import { describe, expect, it } from 'vitest';
import { MINUTE, Outside, SECOND } from './outside.ts';
import { mitigates, serves, stopped } from './seen.ts';
import { slowly } from './tiny-rig.ts';

const HOLD = 5 * MINUTE;
const T = 2 * MINUTE;
const NEVER = Number.POSITIVE_INFINITY;

function cooling(outside = new Outside()): Outside {
  outside.calls.cooling = true;
  return outside.run(T);
}

describe('prove-fan', () => {
  it('stops compressors in time when airflow goes, until it is back', () => {
    const outside = cooling();
    outside.fanDead = true;
    outside.run(T + 10 * MINUTE);
    expect(outside.first(T, stopped) - T).toBeLessThanOrEqual(10 * SECOND + 2 * SECOND);
    expect(stopped(outside.at(T + 10 * MINUTE))).toBe(true);
    expect(outside.at(T + 10 * MINUTE).fan).toBe(true);
    outside.fanDead = false;
    outside.run(T + 11 * MINUTE);
    expect(serves(outside.at(T + 11 * MINUTE))).toBe(true);
  });
});

/** Lengths of all commanded off times that ended, by circuit. */
function offTimes(outside: Outside, circuit: number): readonly number[] {
  const times: number[] = [];
  let offSinceMs: number | null = null;
  outside.seen.forEach((seen, index) => {
    const on = seen.compressors[circuit] === true;
    const wasOn = outside.seen[index - 1]?.compressors[circuit] === true;
    if (!on && wasOn) offSinceMs = seen.atMs;
    if (on && offSinceMs !== null) {
      times.push(seen.atMs - offSinceMs);
      offSinceMs = null;
    }
  });
  return times;
}

describe('short-cycle', () => {
  it('leaves every compressor off for its time, however calls come and go', () => {
    const outside = cooling();
    for (let flip = 0; flip < 200; flip += 1) {
      outside.calls.cooling = flip % 2 === 1;
      outside.run(T + flip * 7 * SECOND);
    }
    const times = [...offTimes(outside, 0), ...offTimes(outside, 1)];
    expect(times.length).toBeGreaterThan(2);
    expect(Math.min(...times)).toBeGreaterThanOrEqual(3 * MINUTE);
  });

  it('counts from the command that arrived, where others were lost', () => {
    const outside = cooling();
    outside.calls.cooling = false;
    outside.writesArrive = false;
    outside.run(T + 2500);
    outside.writesArrive = true;
    outside.calls.cooling = true;
    outside.run(T + 10 * MINUTE);
    expect(offTimes(outside, 0)).toHaveLength(1);
    expect(Math.min(...offTimes(outside, 0))).toBeGreaterThanOrEqual(3 * MINUTE);
  });

  it('counts a compressor as just off after a power cut', () => {
    const outside = cooling();
    outside.calls.cooling = false;
    outside
      .run(T + MINUTE)
      .cut()
      .run(T + MINUTE + 5 * SECOND);
    outside.calls.cooling = true;
    outside.restore({ record: 'orderly', tripAgesMs: [], tripCounted: false }).run(T + 10 * MINUTE);
    expect(offTimes(outside, 0)[0]).toBeGreaterThanOrEqual(4 * MINUTE);
  });
});

describe('resume', () => {
  it('serves again in time after gas, and soon after a start', () => {
    const outside = cooling();
    expect(outside.first(0, serves)).toBeLessThanOrEqual(30 * SECOND);
    outside
      .gas('coil-a', 30)
      .run(T + MINUTE)
      .gas('coil-a', 0)
      .run(T + 20 * MINUTE);
    const again = outside.first(outside.first(T, mitigates), serves);
    expect(again - (T + MINUTE)).toBeLessThanOrEqual(HOLD + outside.rig.policy.resumeWithinMs);
    expect(again - (T + MINUTE)).toBeLessThanOrEqual(HOLD + 10 * SECOND);
  });

  it('serves heat again as well', () => {
    const outside = new Outside();
    outside.calls.heating = true;
    outside
      .run(T)
      .gas('coil-a', 30)
      .run(T + MINUTE)
      .gas('coil-a', 0)
      .run(T + MINUTE + HOLD + 10 * SECOND);
    expect(outside.at(T).heat).toBe(true);
    expect(outside.at(T + MINUTE + HOLD + 10 * SECOND).heat).toBe(true);
  });
});

describe('no-nuisance', () => {
  const dropped = (outside: Outside, fromMs: number): number => outside.first(fromMs, stopped);

  it('goes on at gas below the setpoint', () => {
    const outside = cooling();
    for (const [minute, gas] of [1, 5, 17.9, 19.9, 3].entries())
      outside.gas('coil-a', gas).run(T + minute * MINUTE);
    expect(dropped(outside, T)).toBe(NEVER);
  });

  it('goes on through single answers and writes that are lost', () => {
    const outside = cooling();
    for (let minute = 0; minute < 20; minute += 1) {
      outside
        .say('coil-a', { answers: false })
        .run(T + minute * MINUTE + 2 * SECOND)
        .say('coil-a', { answers: true });
      outside.ioAnswers = false;
      outside.run(T + minute * MINUTE + 5 * SECOND);
      outside.ioAnswers = true;
      outside.run(T + (minute + 1) * MINUTE);
    }
    expect(dropped(outside, T)).toBe(NEVER);
  });

  it('never drops a served call because another one comes', () => {
    const outside = cooling();
    outside.calls.heating = true;
    outside.run(T + MINUTE);
    outside.calls.cooling = false;
    outside.run(T + 2 * MINUTE);
    outside.calls.cooling = true;
    outside.run(T + 10 * MINUTE);
    expect(dropped(outside, T)).toBe(NEVER);
  });

  it('goes on for an hour', () => {
    const outside = cooling(new Outside(slowly())).run(T + 60 * MINUTE);
    expect(dropped(outside, T)).toBe(NEVER);
    expect(outside.seen.every((seen) => !seen.alarm && !seen.trouble)).toBe(true);
  });
});
