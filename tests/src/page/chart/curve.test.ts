import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cutToWindow, isOnAt, stretchesOn, thinned, withoutSpans } from '../../../../src/page/chart/curve.ts';
import { fieldPath, strokePath } from '../../../../src/page/chart/path.ts';
import { layoutOf, timeTicks, topFor } from '../../../../src/page/chart/scales.ts';
import type { Point } from '../../../../src/page/data/history.ts';
import { indexInForce, inForce, within } from '../../../../src/page/data/timed.ts';

const at = (atMs: number, value: number | null): Point => ({ atMs, value });

/** The plain meaning of a step curve, as an oracle: the value of the last point at or before a moment. */
function valueAt(points: readonly Point[], atMs: number): number | null | undefined {
  return points.filter((point) => point.atMs <= atMs).at(-1)?.value;
}

const curves = fc
  .array(fc.record({ atMs: fc.integer({ min: 0, max: 10_000 }), value: fc.integer({ min: 0, max: 100 }) }), {
    maxLength: 200,
  })
  .map((points) => points.sort((a, b) => a.atMs - b.atMs));

describe('step curves', () => {
  it('carries what held before into the window, and what holds now to its right edge', () => {
    expect(cutToWindow([at(0, 1), at(500, 2), at(1500, 3), at(9000, 4)], 1000, 2000)).toEqual([
      at(1000, 2),
      at(1500, 3),
      at(2000, 3),
    ]);
    expect(cutToWindow([], 0, 10)).toEqual([]);
    expect(cutToWindow([at(50, 1)], 0, 10)).toEqual([]);
  });

  it('breaks where the sensor was silent, and goes on with what it said last', () => {
    const span = { hazard: 'silent', subject: 'coil-a', text: '', fromMs: 100, toMs: 200 };
    expect(withoutSpans([at(0, 1), at(150, 2), at(300, 3)], [span])).toEqual([
      at(0, 1),
      at(100, null),
      at(200, 2),
      at(300, 3),
    ]);
    expect(withoutSpans([at(0, 1), at(150, 2)], [{ ...span, toMs: null }])).toEqual([
      at(0, 1),
      at(100, null),
    ]);
  });

  it('thins to a few points a column without losing a peak, a trough or the order', () => {
    fc.assert(
      fc.property(curves, (points) => {
        const few = thinned(points, 0, 1000);
        const columns = new Map<number, number>();
        for (const { atMs } of few) {
          columns.set(Math.floor(atMs / 1000), (columns.get(Math.floor(atMs / 1000)) ?? 0) + 1);
        }
        const range = (all: readonly Point[]) => all.map((point) => point.value ?? 0).sort((a, b) => a - b);
        expect(Math.max(0, ...columns.values())).toBeLessThanOrEqual(4);
        expect(range(few)[0]).toBe(range(points)[0]);
        expect(range(few).at(-1)).toBe(range(points).at(-1));
        expect(few.every((point, index) => index === 0 || (few[index - 1]?.atMs ?? 0) <= point.atMs)).toBe(
          true,
        );
        expect(few.at(-1)).toEqual(points.at(-1));
      }),
    );
  });

  it('finds the point in force as a plain search would', () => {
    fc.assert(
      fc.property(curves, fc.integer({ min: -100, max: 11_000 }), (points, atMs) => {
        const plain = points.findLastIndex((point) => point.atMs <= atMs);
        expect(indexInForce(points, atMs)).toBe(Math.max(0, plain));
      }),
    );
  });

  it('finds what holds at a moment, and nothing before the first', () => {
    fc.assert(
      fc.property(curves, fc.integer({ min: -100, max: 11_000 }), (points, atMs) => {
        expect(inForce(points, atMs)?.value).toBe(valueAt(points, atMs));
      }),
    );
  });

  it('cuts to what a window needs: what holds at its beginning, and all changes in it', () => {
    fc.assert(
      fc.property(
        curves,
        fc.integer({ min: 0, max: 5000 }),
        fc.integer({ min: 0, max: 5000 }),
        (points, fromMs, span) => {
          const toMs = fromMs + span;
          const first = points.findLastIndex((point) => point.atMs <= fromMs);
          const plain = points.filter((point, index) => index >= Math.max(0, first) && point.atMs <= toMs);
          expect(within(points, fromMs, toMs)).toEqual(plain);
        },
      ),
    );
  });

  it('keeps the value at every moment of the window when it cuts to it', () => {
    fc.assert(
      fc.property(curves, fc.integer({ min: 2000, max: 8000 }), (points, moment) => {
        expect(valueAt(cutToWindow(points, 2000, 8000), moment)).toBe(valueAt(points, moment));
      }),
    );
  });
});

describe('when an output was on', () => {
  it('knows what it was before its first change', () => {
    expect(stretchesOn([{ atMs: 500, on: false }], false, 0, 1000)).toEqual([{ fromMs: 0, toMs: 500 }]);
    expect(stretchesOn([{ atMs: 500, on: true }], true, 0, 1000)).toEqual([{ fromMs: 500, toMs: 1000 }]);
  });

  it('takes what it is now where it never changed', () => {
    expect(stretchesOn([], true, 0, 1000)).toEqual([{ fromMs: 0, toMs: 1000 }]);
    expect(stretchesOn([], false, 0, 1000)).toEqual([]);
  });

  it('says at each moment what its stretches say', () => {
    const moments = fc.array(fc.integer({ min: 0, max: 1000 }), { maxLength: 12 });
    fc.assert(
      fc.property(moments, fc.boolean(), fc.integer({ min: 1, max: 999 }), (times, on, atMs) => {
        const sorted = [...new Set(times)].sort((a, b) => a - b);
        const switches = sorted.map((one, index) => ({ atMs: one, on: (index % 2 === 0) === on }));
        const now = switches.at(-1)?.on ?? on;
        const inside = stretchesOn(switches, now, 0, 1000).some(
          (one) => one.fromMs <= atMs && one.toMs > atMs,
        );
        expect(isOnAt(switches, now, atMs)).toBe(inside);
      }),
    );
  });

  it('cuts to the window', () => {
    const switches = [
      { atMs: 100, on: true },
      { atMs: 600, on: false },
      { atMs: 900, on: true },
      { atMs: 2000, on: false },
    ];
    expect(stretchesOn(switches, false, 500, 1000)).toEqual([
      { fromMs: 500, toMs: 600 },
      { fromMs: 900, toMs: 1000 },
    ]);
  });
});

describe('a path', () => {
  const scale = { x: (atMs: number) => atMs / 10, y: (value: number) => 100 - value };

  it('holds each value to the next point, and to the gap that ends it', () => {
    expect(strokePath([at(0, 5), at(100, 20), at(600, null), at(900, 7), at(1000, 7)], scale)).toBe(
      'M0,95H10V80H60M90,93H100',
    );
  });

  it('draws nothing where nothing is known', () => {
    expect(strokePath([at(0, null), at(50, null)], scale)).toBe('');
    expect(fieldPath([at(0, null), at(50, null)], scale, 100)).toBe('');
  });

  it('is closed down to its base, each stretch by itself', () => {
    expect(fieldPath([at(0, 5), at(600, null), at(900, 7), at(1000, 9)], scale, 100)).toBe(
      'M0,100V95H60V100ZM90,100V93H100V91V100Z',
    );
  });
});

describe('the chart’s layout', () => {
  it('puts ticks on whole minutes, as many as have room', () => {
    const ticks = (width: number) => timeTicks({ fromMs: 30_000, toMs: 630_000, columnMs: 600_000 / width });
    expect(ticks(268)).toEqual([300_000, 600_000]);
    expect(ticks(1108)).toHaveLength(10);
    expect(ticks(1108)[0]).toBe(60_000);
  });

  it('keeps labels apart over seconds and over a day as over minutes', () => {
    const hour = 3_600_000;
    const day = timeTicks({ fromMs: 0, toMs: 24 * hour, columnMs: (24 * hour) / 688 });
    expect(day).toEqual([0, 4, 8, 12, 16, 20, 24].map((hours) => hours * hour));
    expect(timeTicks({ fromMs: 1000, toMs: 31_000, columnMs: 30_000 / 400 })).toEqual([
      10_000, 20_000, 30_000,
    ]);
  });

  it('puts no tick before the bench’s zero', () => {
    expect(timeTicks({ fromMs: -500_000, toMs: 100_000, columnMs: 600 })).toEqual([0, 60_000]);
  });

  it('keeps its scale while the highest value moves a little, and always has room for it', () => {
    expect(topFor(0, 20)).toBe(40);
    expect(topFor(38, 20)).toBe(topFor(44, 20));
    fc.assert(
      fc.property(fc.double({ min: 0, max: 701, noNaN: true }), (highest) => {
        expect(topFor(highest, 20)).toBeGreaterThan(highest);
        expect(topFor(highest, 20)).toBeLessThanOrEqual(Math.max(40, highest * 1.1 * 1.25));
      }),
    );
  });

  it('stacks lanes and bands without overlap and within the picture', () => {
    const layout = layoutOf({ plotWidth: 700, lanes: 3, bands: 4, fromMs: 0, toMs: 1000, topPercentLfl: 40 });
    const tops = [...layout.laneTops, ...layout.bandTops, layout.axisTop];
    expect(tops).toEqual([...tops].sort((a, b) => a - b));
    expect((layout.laneTops[1] ?? 0) - (layout.laneTops[0] ?? 0)).toBeGreaterThan(layout.laneHeight);
    expect(layout.axisTop).toBeLessThan(layout.height);
    expect(layout.y(40)).toBe(layout.laneHeight);
  });
});
