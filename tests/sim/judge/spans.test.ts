import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  after,
  firstFrom,
  intersect,
  isInside,
  itemsIn,
  lastMoment,
  lastUntil,
  lengthMs,
  minus,
  type Spans,
  spanAt,
  spansOf,
  union,
  whileIs,
  within,
} from '../../../sim/judge/spans.ts';

const spans = (...pairs: readonly (readonly [number, number])[]): Spans =>
  pairs.map(([fromMs, toMs]) => ({ fromMs, toMs }));

const anySpans = fc
  .array(fc.tuple(fc.nat(30), fc.nat(8)), { maxLength: 8 })
  .map((list) => spansOf(list.map(([fromMs, lasts]) => ({ fromMs, toMs: fromMs + lasts }))));
const holdsAt = (list: Spans, atMs: number): boolean =>
  list.some((span) => span.fromMs <= atMs && atMs < span.toMs);
const MOMENTS = Array.from({ length: 45 }, (_, atMs) => atMs);

describe('span algebra', () => {
  test('keeps lists in order, disjoint, none empty and none touching', () => {
    fc.assert(
      fc.property(anySpans, anySpans, (a, b) => {
        for (const list of [a, union(a, b), intersect(a, b), minus(a, b)]) {
          list.forEach((span, index) => {
            expect(span.toMs).toBeGreaterThan(span.fromMs);
            expect(span.fromMs).toBeGreaterThan(list[index - 1]?.toMs ?? -1);
          });
        }
      }),
    );
  });

  test('says at every moment what logic says', () => {
    fc.assert(
      fc.property(anySpans, anySpans, (a, b) => {
        for (const t of MOMENTS) {
          expect(holdsAt(union(a, b), t)).toBe(holdsAt(a, t) || holdsAt(b, t));
          expect(holdsAt(intersect(a, b), t)).toBe(holdsAt(a, t) && holdsAt(b, t));
          expect(holdsAt(minus(a, b), t)).toBe(holdsAt(a, t) && !holdsAt(b, t));
          expect(spanAt(a, t) !== undefined).toBe(holdsAt(a, t));
        }
        expect(lengthMs(a)).toBe(MOMENTS.filter((t) => holdsAt(a, t)).length);
      }),
    );
  });

  test('finds the next and the last moment as a walk would', () => {
    fc.assert(
      fc.property(anySpans, fc.nat(44), (a, t) => {
        expect(firstFrom(a, t)).toBe(MOMENTS.find((one) => one >= t && holdsAt(a, one)));
        const ended = MOMENTS.filter((one) => one <= t && (holdsAt(a, one) || holdsAt(a, one - 1)));
        expect(lastUntil(a, t)).toBe(ended.at(-1));
      }),
    );
  });

  test('cuts out the part inside one span', () => {
    expect(within({ fromMs: 5, toMs: 20 }, spans([0, 6], [10, 12], [19, 30], [40, 50]))).toEqual(
      spans([5, 6], [10, 12], [19, 20]),
    );
  });

  test('takes the first part of each span away, and a span that is no longer than it', () => {
    expect(after(spans([0, 5], [10, 16]), 5)).toEqual(spans([15, 16]));
  });

  test('follows a signal to the end, and lets the later of two changes at one moment stand', () => {
    const signal = [
      { atMs: 0, value: 1 },
      { atMs: 4, value: 30 },
      { atMs: 4, value: 2 },
      { atMs: 7, value: 40 },
      { atMs: 9, value: 41 },
    ];
    expect(whileIs(signal, (value) => value >= 25, 20)).toEqual(spans([7, 20]));
  });

  test('ends a signal with the drill, though it changed later', () => {
    const signal = [
      { atMs: 3, value: true },
      { atMs: 30, value: false },
    ];
    expect(whileIs(signal, (value) => value, 20)).toEqual(spans([3, 20]));
  });

  test('takes the items of a span with its beginning and without its end', () => {
    const items = [1, 5, 9, 9, 12].map((atMs) => ({ atMs }));
    expect(itemsIn(items, { fromMs: 5, toMs: 12 })).toEqual([{ atMs: 5 }, { atMs: 9 }, { atMs: 9 }]);
    expect(itemsIn(items, { fromMs: 13, toMs: 20 })).toEqual([]);
  });

  test('is inside a span only after its first moment', () => {
    expect([4, 5, 6, 9, 10].map((atMs) => isInside(spans([5, 10]), atMs))).toEqual([
      false,
      false,
      true,
      true,
      false,
    ]);
  });

  test('finds the last of many moments', () => {
    expect(lastMoment([1, 5, 9], 8)).toBe(5);
    expect(lastMoment([1, 5, 9], 9)).toBe(9);
    expect(lastMoment([1, 5, 9], 0)).toBeUndefined();
  });
});
