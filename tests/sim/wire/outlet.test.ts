import { describe, expect, test } from 'vitest';
import { outlet } from '../../../sim/wire/outlet.ts';
import { woundClock } from './wound-clock.ts';

/** An outlet on a clock that is wound by hand. */
function wound() {
  const written: number[] = [];
  const { after, due, runTo } = woundClock();
  let hungUp = false;
  const out = outlet(
    after,
    (bytes) => {
      written.push(...bytes);
    },
    () => {
      hungUp = true;
    },
  );
  return { ...out, written, due, runTo, hungUp: () => hungUp };
}

const part = (afterMs: number, ...bytes: readonly number[]) => ({ afterMs, bytes: Uint8Array.from(bytes) });

describe('an outlet', () => {
  test('lets sound replies out at once, also while a late answer is still to come', () => {
    const out = wound();
    out.emit({ parts: [part(500, 9)], hangsUp: false });
    out.reply(Uint8Array.of(1));
    expect(out.written).toEqual([1]);
    out.runTo(500);
    expect(out.written).toEqual([1, 9]);
  });

  test('finishes a frame that has begun before anything else goes out', () => {
    const out = wound();
    out.emit({ parts: [part(0, 1), part(10, 2), part(20, 3)], hangsUp: false });
    out.emit({ parts: [part(5, 7), part(12, 8)], hangsUp: false });
    out.reply(Uint8Array.of(9));
    expect(out.written).toEqual([1]);
    out.runTo(15);
    expect(out.written).toEqual([1, 2]);
    out.runTo(20);
    expect(out.written).toEqual([1, 2, 3, 9, 7, 8]);
  });

  test('breaks a frame off that has begun, and lets out what waited behind it', () => {
    const out = wound();
    out.emit({ parts: [part(0, 1), part(10, 2), part(20, 3)], hangsUp: false });
    out.breakOff();
    out.reply(Uint8Array.of(9));
    out.runTo(20);
    expect(out.written).toEqual([1, 9]);
    out.emit({ parts: [part(0, 4), part(10, 5)], hangsUp: false });
    out.reply(Uint8Array.of(6));
    out.breakOff();
    out.breakOff();
    expect(out.written).toEqual([1, 9, 4, 6]);
  });

  test('hangs up after the last part, or at once where there is none', () => {
    const out = wound();
    out.emit({ parts: [part(10, 1)], hangsUp: true });
    expect(out.hungUp()).toBe(false);
    out.runTo(10);
    expect([out.written, out.hungUp()]).toEqual([[1], true]);
    const other = wound();
    other.emit({ parts: [], hangsUp: true });
    expect(other.hungUp()).toBe(true);
  });

  test('has sixteen answers under way at most, and takes more once they are gone', () => {
    const out = wound();
    for (let count = 0; count < 40; count += 1) out.emit({ parts: [part(10, count)], hangsUp: false });
    expect(out.due).toHaveLength(32);
    out.runTo(10);
    expect(out.written).toEqual(Array.from({ length: 16 }, (_, at) => at));
    out.emit({ parts: [part(0, 99)], hangsUp: false });
    expect(out.written.at(-1)).toBe(99);
  });

  test('keeps no more than sixteen replies behind a frame that has begun', () => {
    const out = wound();
    out.emit({ parts: [part(0, 1), part(10, 2)], hangsUp: false });
    for (let count = 0; count < 40; count += 1) out.reply(Uint8Array.of(100 + count));
    out.runTo(10);
    expect(out.written).toEqual([1, 2, ...Array.from({ length: 16 }, (_, at) => 100 + at)]);
  });

  test('says nothing more once it is stopped', () => {
    const out = wound();
    out.emit({ parts: [part(0, 1), part(10, 2)], hangsUp: true });
    out.reply(Uint8Array.of(9));
    out.stop();
    out.runTo(100);
    expect([out.written, out.due, out.hungUp()]).toEqual([[1], [], false]);
  });
});
