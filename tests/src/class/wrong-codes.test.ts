import { describe, expect, test } from 'vitest';
import { NO_WRONG_CODES, type WrongCodes, waitMs, withWrongCode } from '../../../src/class/index.ts';

const MAX = { perClient: 2, all: 5 };
const T0 = 1_000_000;

function after(...tries: readonly (readonly [client: string, atMs: number])[]): WrongCodes {
  return tries.reduce((wrong, [client, atMs]) => withWrongCode(wrong, client, T0 + atMs), NO_WRONG_CODES);
}

describe('wrong codes', () => {
  test('make a client wait for the rest of the minute once it had its share', () => {
    const wrong = after(['one', 0], ['one', 10_000]);
    expect(waitMs(NO_WRONG_CODES, 'one', MAX, T0)).toBe(0);
    expect(waitMs(after(['one', 0]), 'one', MAX, T0 + 1)).toBe(0);
    expect(waitMs(wrong, 'one', MAX, T0 + 20_000)).toBe(40_000);
    expect(waitMs(wrong, 'other', MAX, T0 + 20_000)).toBe(0);
    expect(waitMs(wrong, 'one', MAX, T0 + 60_000)).toBe(0);
  });

  test('of all together make everybody wait, and that bounds what is remembered', () => {
    const wrong = after(['a', 0], ['b', 0], ['c', 0], ['d', 0], ['e', 0]);
    expect(waitMs(wrong, 'new', MAX, T0 + 1)).toBe(59_999);
    expect(wrong.byClient.size).toBe(MAX.all);
  });

  test('of the minute before are forgotten', () => {
    const wrong = after(['one', 0], ['one', 1], ['one', 60_000]);
    expect(wrong).toMatchObject({ minuteFromMs: T0 + 60_000, all: 1 });
    expect(waitMs(wrong, 'one', MAX, T0 + 60_001)).toBe(0);
  });

  test('hold nobody up for longer than a minute where the clock is set back', () => {
    expect(waitMs(after(['one', 0], ['one', 0]), 'one', MAX, T0 - 1)).toBe(0);
  });
});
