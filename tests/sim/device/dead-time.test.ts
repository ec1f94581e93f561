import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { arrivedBy, happen, type Late, startLate } from '../../../sim/device/index.ts';
import { ms } from '../../../src/units/index.ts';

/** An element that writes down what was done to it, and when it was let in. */
interface Diary {
  readonly lines: number[];
}
const late = (deadTime: number, start = 0): Late<Diary> =>
  startLate<Diary>({ lines: [] }, ms(deadTime), ms(start));

function note(to: Late<Diary>, atMs: number): void {
  happen(to, ms(atMs), ({ lines }) => lines.push(atMs));
}

describe('an element with a dead time', () => {
  test('learns of nothing before it has passed, and of everything when it has', () => {
    const one = late(2000);
    note(one, 5000);
    expect(arrivedBy(one, ms(6999))).toBe(4999);
    expect(one.element.lines).toEqual([]);
    expect(arrivedBy(one, ms(7000))).toBe(5000);
    expect(one.element.lines).toEqual([5000]);
  });

  test('is read at its beginning for as long as nothing has come through', () => {
    const one = late(2000, 500);
    expect([500, 2400, 2500, 2600].map((now) => arrivedBy(one, ms(now)))).toEqual([500, 500, 500, 600]);
  });

  test('learns in the order in which things happened, each once, however often it is read', () => {
    const pauses = fc.array(fc.integer({ min: 0, max: 900 }), { maxLength: 60 });
    fc.assert(
      fc.property(
        pauses,
        fc.integer({ min: 1, max: 3000 }),
        fc.integer({ min: 1, max: 4 }),
        (list, dead, every) => {
          const one = late(dead);
          const done: number[] = [];
          let now = 0;
          for (const [index, pause] of list.entries()) {
            now += pause;
            note(one, now);
            done.push(now);
            if (index % every === 0) {
              const shownMs = arrivedBy(one, ms(now));
              expect(one.element.lines).toEqual(done.filter((atMs) => atMs <= shownMs));
            }
          }
          arrivedBy(one, ms(now + dead));
          expect(one.element.lines).toEqual(done);
        },
      ),
    );
  });

  test('lets no more wait than happened within it', () => {
    const one = late(2000);
    for (let now = 0; now <= 100_000; now += 100) note(one, now);
    expect(one.waiting).toHaveLength(20);
  });
});

test('an element without a dead time learns of everything at once', () => {
  const one = late(0);
  note(one, 5000);
  expect(one.element.lines).toEqual([5000]);
  expect(arrivedBy(one, ms(5000))).toBe(5000);
  expect(one.waiting).toEqual([]);
});
