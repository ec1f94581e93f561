/** Numbers in two registers: written out by hand after IEEE 754-2019, 3.4, and two's complement. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readNumber, writeNumber } from '../../../src/sensor/number.ts';
import type { Point } from '../../../src/sensor/point.ts';

function point(written: Partial<Point>): Point {
  const plain = { table: 'input', address: 0, type: 'f32', wordOrder: 'high-first' } as const;
  return { ...plain, inverted: false, scale: 1, ...written };
}

function written(value: number | null, to: Point): readonly number[] {
  const image = Uint16Array.of(0xaaaa, 0xaaaa, 0xaaaa);
  writeNumber(to, value, image);
  return Array.from(image);
}

const read = (words: readonly number[], from: Point): number | null => readNumber(from, words, 0);

/** Sign, exponent and fraction, put together by hand. */
const SINGLES: readonly (readonly [number, number, number])[] = [
  [0, 0x0000, 0x0000],
  [1, 0x3f80, 0x0000],
  [20, 0x41a0, 0x0000],
  [25.5, 0x41cc, 0x0000],
  [-2.5, 0xc020, 0x0000],
  [701.25, 0x442f, 0x5000],
  [1 + 2 ** -23, 0x3f80, 0x0001],
  [2 ** -149, 0x0000, 0x0001],
  [(2 - 2 ** -23) * 2 ** 127, 0x7f7f, 0xffff],
];

describe('a float', () => {
  test.each(SINGLES)('%d is %i and %i, in either order of words', (value, high, low) => {
    const lowFirst = point({ wordOrder: 'low-first' });
    expect(written(value, point({}))).toEqual([high, low, 0xaaaa]);
    expect(written(value, lowFirst)).toEqual([low, high, 0xaaaa]);
    expect(read([high, low], point({}))).toBe(value);
    expect(read([low, high], lowFirst)).toBe(value);
  });

  test('without a valid reading is a NaN, and every NaN and infinity is none', () => {
    expect(written(null, point({}))).toEqual([0x7fc0, 0, 0xaaaa]);
    expect(written(null, point({ wordOrder: 'low-first' }))).toEqual([0, 0x7fc0, 0xaaaa]);
    const none = [
      [0x7fc0, 0],
      [0xffc0, 0],
      [0x7f80, 1],
      [0x7fff, 0xffff],
      [0x7f80, 0],
      [0xff80, 0],
    ];
    for (const words of none) expect(read(words, point({})), words.join()).toBeNull();
  });

  test('beyond the largest stays there: it never becomes infinite', () => {
    expect(written(1e300, point({}))).toEqual([0x7f7f, 0xffff, 0xaaaa]);
    expect(written(-1e300, point({}))).toEqual([0xff7f, 0xffff, 0xaaaa]);
  });

  test('has its scale: here one is a hundredth', () => {
    const scaled = point({ scale: 0.01 });
    expect(written(0.25, scaled)).toEqual([0x41c8, 0, 0xaaaa]);
    expect(read([0x41c8, 0], scaled)).toBe(0.25);
  });

  test('comes back as the nearest single, whatever the order of words', () => {
    const number = fc.double({ noNaN: true, min: -1e30, max: 1e30 });
    fc.assert(
      fc.property(number, fc.constantFrom('high-first', 'low-first'), (value, wordOrder) => {
        const one = point({ wordOrder });
        expect(read(written(value, one), one)).toBe(Math.fround(value));
      }),
    );
  });
});

describe('a signed number in two registers', () => {
  const i32 = point({ type: 'i32', scale: 0.5 });

  test('is two’s complement, in either order of words', () => {
    expect(written(-0.5, i32)).toEqual([0xffff, 0xffff, 0xaaaa]);
    expect(written(-1.0, { ...i32, wordOrder: 'low-first' })).toEqual([0xfffe, 0xffff, 0xaaaa]);
    expect(read([0x8000, 0], i32)).toBe(-(2 ** 30));
    expect(read([0xffff, 0x7fff], { ...i32, wordOrder: 'low-first' })).toBe((2 ** 31 - 1) / 2);
  });

  test('stays at the end of its range, and never looks like "no valid reading"', () => {
    expect(written(1e12, i32)).toEqual([0x7fff, 0xffff, 0xaaaa]);
    expect(written(-1e12, i32)).toEqual([0x8000, 0, 0xaaaa]);
    const lowest = { ...i32, invalid: 0x80000000 };
    expect(written(-1e12, lowest)).toEqual([0x8000, 1, 0xaaaa]);
    expect(written(null, lowest)).toEqual([0x8000, 0, 0xaaaa]);
    expect(read([0x8000, 0], lowest)).toBeNull();
  });

  test('comes back to the count', () => {
    const counts = fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 });
    fc.assert(
      fc.property(counts, (count) => {
        expect(read(written(count / 2, i32), i32)).toBe(count / 2);
      }),
    );
  });
});

test('a text holds no number', () => {
  expect(() => {
    writeNumber(point({ type: 'ascii' }), 1, new Uint16Array(2));
  }).toThrow(RangeError);
});
