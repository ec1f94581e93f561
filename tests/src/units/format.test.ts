import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { exactDuration, formatClock, formatDuration, formatGas } from '../../../src/units/index.ts';

describe('a duration', () => {
  test.each([
    [0, '0 ms'],
    [-0.4, '0 ms'],
    [300, '300 ms'],
    [999.6, '1 s'],
    [1000, '1 s'],
    [1500, '1.5 s'],
    [15_000, '15 s'],
    [59_960, '1 min'],
    [60_000, '1 min'],
    [90_000, '1 min 30 s'],
    [300_000, '5 min'],
    [330_500, '5 min 30.5 s'],
    [3_599_960, '1 h'],
    [3_600_000, '1 h'],
    [5_400_000, '1 h 30 min'],
    [86_400_000, '24 h'],
    [-2500, '-2.5 s'],
    [-300, '-300 ms'],
  ])('of %d ms is "%s"', (durationMs, text) => {
    expect(formatDuration(durationMs)).toBe(text);
  });

  test.each([
    [0, '0 ms'],
    [1, '1 ms'],
    [30, '30 ms'],
    [950, '950 ms'],
    [1900, '1.9 s'],
    [1999, '1.999 s'],
    [2000, '2 s'],
    [299_999, '299.999 s'],
    [330_500, '5 min 30.5 s'],
    [300_000, '5 min'],
    [15_001, '15.001 s'],
    [5_400_000, '1 h 30 min'],
    [3_601_000, '3601 s'],
  ])('of %d ms, to the millisecond, is "%s"', (durationMs, text) => {
    expect(exactDuration(durationMs)).toBe(text);
  });

  test('leaves the seconds out from an hour on', () => {
    expect(formatDuration(3_659_000)).toBe('1 h');
    expect(formatDuration(3_661_000)).toBe('1 h 1 min');
  });

  test('never shows 60 of a unit, and names what it shows within its last digit', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1000, max: 3_599_949 }), (durationMs) => {
        const text = formatDuration(durationMs);
        const match = /^(?:(\d+) min)? ?(?:(\d+(?:\.\d)?) s)?$/u.exec(text);
        const [minutes, seconds] = [Number(match?.[1] ?? 0), Number(match?.[2] ?? 0)];
        expect(seconds, text).toBeLessThan(60);
        expect(Math.abs((minutes * 60 + seconds) * 1000 - durationMs), text).toBeLessThanOrEqual(50.001);
      }),
    );
  });
});

test.each([
  [0, '0 %LFL'],
  [-0.04, '0 %LFL'],
  [20.04, '20 %LFL'],
  [3.14, '3.1 %LFL'],
  [701.3, '701.3 %LFL'],
  [null, 'no reading'],
])('gas of %s is shown as "%s"', (percentLfl, text) => {
  expect(formatGas(percentLfl)).toBe(text);
});

test.each([
  [0, '0:00:00'],
  [999, '0:00:00'],
  [192_000, '0:03:12'],
  [3_599_999, '0:59:59'],
  [36_000_000, '10:00:00'],
  [-5000, '0:00:00'],
])('bench time %d ms is %s on the clock', (atMs, text) => {
  expect(formatClock(atMs)).toBe(text);
});
