/**
 * The longest wait between two turns, on lines small enough to work out by hand (time-outs of 300 ms, period
 * 1 s).
 */
import { describe, expect, test } from 'vitest';
import { longestAgainMs, madeGoodMs } from '../../../src/budget/ask-gap.ts';
import { type LineTurns, turnsOf } from '../../../src/budget/line-turns.ts';
import { longestPeriodMs } from '../../../src/budget/poll-wait.ts';
import { type LineWanted, manySensors } from './rigs.ts';

/** A line that serves the field I/O alone. */
const ALONE: LineWanted = { sensors: 0, baud: null };

function lineOf(wanted: Partial<LineWanted> = {}): LineTurns {
  const [turns] = turnsOf(manySensors({ lines: [{ sensors: 6, baud: null, ...wanted }] }), 0);
  if (turns === undefined) throw new Error('no line');
  return turns;
}

const FIRST = { before: 0, after: 5 };
const LAST = { before: 5, after: 0 };

describe('one turn to the next', () => {
  test('is a period where everybody answers, or a cycle where that is longer', () => {
    expect(longestPeriodMs(lineOf(), LAST, 0)).toBe(1000);
    // 6 × 67 + 28 + 2 × 29 + 26 at 9600 baud (MB-SER 2.5.1), in whole milliseconds each.
    expect(longestPeriodMs(lineOf({ baud: 9600, pollEveryMs: 300 }), LAST, 0)).toBe(514);
  });
  test('the last waits for every time-out in front of it, whatever is left of the period', () => {
    expect(longestPeriodMs(lineOf(), LAST, 1)).toBe(1300);
    expect(longestPeriodMs(lineOf(), LAST, 3)).toBe(1900);
  });
  test('the first waits only for what the period does not hold', () => {
    expect(longestPeriodMs(lineOf(), FIRST, 1)).toBe(1000);
    // Two time-outs in their places, then two retries begun within the period: 4 × 300 ms.
    expect(longestPeriodMs(lineOf(), FIRST, 2)).toBe(1200);
    // Four in their places are past the period; one spare turn is taken all the same.
    expect(longestPeriodMs(lineOf(), FIRST, 4)).toBe(1500);
  });
  test('no more are silent than there are others', () => {
    expect(longestPeriodMs(lineOf(), LAST, 9)).toBe(longestPeriodMs(lineOf(), LAST, 5));
  });
});

describe('a silent sensor is asked again', () => {
  test('with its retry, or its turn among the dead a cycle later', () => {
    expect(longestAgainMs(lineOf(), 1)).toBe(1000);
    expect(longestAgainMs(lineOf(), 0)).toBe(0);
  });
  test('where there is one', () => {
    const [alone] = turnsOf(manySensors({ lines: [ALONE, { sensors: 1, baud: null }] }), 0);
    expect(alone === undefined ? null : longestAgainMs(alone, 2)).toBe(0);
  });
  test('after a lost answer in the same cycle, or without retries only in the next', () => {
    expect(madeGoodMs(lineOf())).toBe(300);
    expect(madeGoodMs(lineOf({ retries: 0 }))).toBe(1000);
  });
});
