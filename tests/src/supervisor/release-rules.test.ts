/** Scenarios over the composed core, judged by what can be seen from outside: getting out of mitigation. */
import { describe, expect, it } from 'vitest';
import { ms } from '../../../src/units/index.ts';
import { MINUTE, Outside, SECOND } from './outside.ts';
import { mitigates, serves, stopped } from './seen.ts';
import { type Says, slowly } from './tiny-rig.ts';

const HOLD = 5 * MINUTE;
const T = 2 * MINUTE;
const NEVER = Number.POSITIVE_INFINITY;

function cooling(outside = new Outside()): Outside {
  outside.calls.cooling = true;
  return outside.run(T);
}

/** When mitigation is left after `fromMs`. */
const leaves = (outside: Outside, fromMs: number): number =>
  outside.first(fromMs, (seen) => !mitigates(seen));
/** What a sensor says that has nothing to say. */
const sound: Partial<Says> = {
  answers: true,
  state: 'measuring',
  gas: 0,
  gasBit: false,
  selfTestPassed: true,
};

describe('hold', () => {
  const reasons: readonly [string, Partial<Says>][] = [
    ['gas', { state: 'gas', gas: 30, gasBit: true }],
    ['contradiction', { gas: 30 }],
    ['silence', { answers: false }],
    ['failure', { state: 'failed', gas: null, selfTestPassed: false }],
    ['a strange serial', { serial: '999999' }],
  ];

  it.each(reasons)('is kept from the last moment of %s', (_, says) => {
    const outside = cooling()
      .say('coil-a', says)
      .run(T + MINUTE);
    outside.say('coil-a', { ...sound, serial: '240811' }).run(T + 10 * MINUTE);
    const since = outside.first(T, mitigates);
    const left = leaves(outside, since);
    expect(left).toBeGreaterThanOrEqual(T + MINUTE + HOLD);
    expect(left).toBeLessThanOrEqual(T + MINUTE + HOLD + 10 * SECOND);
  });

  it('counts from the last of several sensors', () => {
    const outside = cooling()
      .gas('coil-a', 30)
      .run(T + MINUTE)
      .gas('coil-a', 0)
      .say('coil-b', { answers: false });
    outside
      .run(T + 3 * MINUTE)
      .say('coil-b', sound)
      .run(T + 10 * MINUTE);
    expect(leaves(outside, T + MINUTE)).toBeGreaterThanOrEqual(T + 3 * MINUTE + HOLD);
  });

  it('waits for airflow, and counts it', () => {
    const outside = cooling()
      .gas('coil-a', 30)
      .run(T + MINUTE)
      .gas('coil-a', 0)
      .run(T + 2 * MINUTE);
    outside.fanDead = true;
    outside.run(T + 12 * MINUTE);
    outside.fanDead = false;
    outside.run(T + 20 * MINUTE);
    const left = leaves(outside, T + MINUTE);
    expect(left).toBeGreaterThanOrEqual(T + MINUTE + 10 * MINUTE + HOLD - 2 * SECOND);
    expect(left).toBeLessThanOrEqual(T + MINUTE + 10 * MINUTE + HOLD + 10 * SECOND);
  });

  it('is not shortened by a sensor that restarts in it', () => {
    const outside = cooling()
      .gas('coil-a', 30)
      .run(T + MINUTE)
      .gas('coil-a', 0)
      .run(T + 5 * MINUTE + 58 * SECOND);
    outside
      .say('coil-a', { state: 'warming-up', gas: null, selfTestPassed: false })
      .run(T + 6 * MINUTE + 2 * SECOND);
    expect(leaves(outside, T + MINUTE)).toBe(NEVER);
    outside.say('coil-a', sound).run(T + 10 * MINUTE);
    expect(leaves(outside, T + MINUTE)).toBeGreaterThanOrEqual(T + 6 * MINUTE + 2 * SECOND);
  });
});

describe('stay-off and recheck', () => {
  it('do not leave on the clock while gas is still there', () => {
    const outside = cooling()
      .gas('coil-a', 30)
      .run(T + 3 * HOLD);
    expect(leaves(outside, outside.first(T, mitigates))).toBe(NEVER);
  });

  it('do not leave while gas stands between the clearing level and the setpoint', () => {
    const outside = cooling()
      .gas('coil-a', 30)
      .run(T + MINUTE)
      .gas('coil-a', 19)
      .run(T + 3 * HOLD);
    expect(leaves(outside, outside.first(T, mitigates))).toBe(NEVER);
    outside.gas('coil-a', 17).run(T + 4 * HOLD);
    expect(leaves(outside, T + MINUTE)).toBeGreaterThanOrEqual(T + 3 * HOLD);
  });

  it('do not leave in a gap between two answers with gas', () => {
    const outside = cooling();
    for (let second = 0; second < 1200; second += 1)
      outside.gas('coil-a', second % 200 === 0 ? 30 : 0).run(T + second * SECOND);
    expect(leaves(outside, outside.first(T, mitigates))).toBe(NEVER);
  });
});

describe('power-cut', () => {
  it('begins the hold anew when the record shows no orderly stop, and mitigates from its first command on', () => {
    const outside = cooling()
      .gas('coil-a', 30)
      .run(T + MINUTE)
      .gas('coil-a', 0)
      .run(T + 3 * MINUTE);
    outside.cut().run(T + 3 * MINUTE + 10 * SECOND);
    outside.restore({ record: 'disorderly', tripAgesMs: [], tripCounted: true }).run(T + 20 * MINUTE);
    const back = T + 3 * MINUTE + 10 * SECOND;
    expect(
      outside.seen.filter((seen) => seen.atMs > T + MINUTE && seen.atMs < back + HOLD).every(mitigates),
    ).toBe(true);
    expect(serves(outside.at(back + HOLD + 30 * SECOND))).toBe(true);
  });

  it('keeps a lock-out', () => {
    const outside = cooling()
      .cut()
      .run(T + MINUTE);
    outside.restore({ record: 'lockedOut', tripAgesMs: [], tripCounted: true }).run(T + 10 * MINUTE);
    expect(outside.seen.filter((seen) => seen.atMs > T + MINUTE).every(stopped)).toBe(true);
    outside.serviceReset = true;
    outside.run(T + 21 * MINUTE);
    expect(serves(outside.at(T + 21 * MINUTE))).toBe(true);
  });

  it('finds gas that came while it was without power', () => {
    const outside = cooling()
      .cut()
      .gas('coil-a', 30)
      .run(T + MINUTE);
    outside.restore({ record: 'orderly', tripAgesMs: [], tripCounted: false }).run(T + 2 * MINUTE);
    expect(outside.first(T + MINUTE, mitigates) - (T + MINUTE)).toBeLessThanOrEqual(2 * SECOND);
  });
});

describe('start', () => {
  it('runs nothing before every sensor has passed its self-test', () => {
    const outside = new Outside().say('coil-b', { state: 'warming-up', gas: null, selfTestPassed: false });
    outside.calls.cooling = true;
    outside.run(10 * MINUTE);
    expect(outside.seen.every(stopped)).toBe(true);
    outside.say('coil-b', sound).run(11 * MINUTE);
    expect(serves(outside.at(11 * MINUTE))).toBe(true);
  });

  it('stops what runs when a sensor restarts, until it has passed again', () => {
    const outside = cooling().say('coil-b', { state: 'warming-up', gas: null, selfTestPassed: false });
    outside
      .run(T + 4 * SECOND)
      .say('coil-b', sound)
      .run(T + 10 * MINUTE);
    expect(outside.first(T, stopped) - T).toBeLessThanOrEqual(2 * SECOND);
    expect(serves(outside.at(T + 10 * MINUTE))).toBe(true);
  });
});

describe('latch', () => {
  const LATCH = { latchAfter: { trips: 3, withinMs: ms(24 * 60 * MINUTE) } };

  function tripped(trips: number): Outside {
    const outside = cooling(new Outside(slowly(LATCH)));
    for (let trip = 1; trip <= trips; trip += 1) {
      outside
        .run(trip * 7 * MINUTE)
        .gas('coil-a', 30)
        .run(trip * 7 * MINUTE + MINUTE)
        .gas('coil-a', 0);
    }
    return outside.run(trips * 7 * MINUTE + MINUTE + HOLD + 30 * SECOND);
  }
  const press = (outside: Outside): Outside => {
    outside.serviceReset = true;
    outside.run(outside.nowMs + 3 * SECOND);
    outside.serviceReset = false;
    return outside.run(outside.nowMs + MINUTE);
  };

  it('serves again after two trips, and not after the third', () => {
    expect(serves(tripped(2).at(20 * MINUTE + 30 * SECOND))).toBe(true);
    const outside = tripped(3).run(60 * MINUTE);
    expect(outside.first(21 * MINUTE + 20 * SECOND, serves)).toBe(NEVER);
  });

  it('takes a press with no reason standing, and forgets the trips with it', () => {
    const outside = press(tripped(3));
    expect(serves(outside.at(outside.nowMs))).toBe(true);
    const again = outside.nowMs;
    outside
      .gas('coil-a', 30)
      .run(again + MINUTE)
      .gas('coil-a', 0)
      .run(again + 20 * MINUTE);
    expect(serves(outside.at(again + 20 * MINUTE))).toBe(true);
  });

  it('ignores a press while a reason stands, and a button that stays held', () => {
    const outside = tripped(3)
      .gas('coil-a', 30)
      .run(29 * MINUTE);
    press(outside)
      .gas('coil-a', 0)
      .run(40 * MINUTE);
    expect(serves(outside.at(40 * MINUTE))).toBe(false);
    outside.gas('coil-a', 30).run(41 * MINUTE);
    outside.serviceReset = true;
    outside
      .run(42 * MINUTE)
      .gas('coil-a', 0)
      .run(60 * MINUTE);
    expect(serves(outside.at(60 * MINUTE))).toBe(false);
  });
});
