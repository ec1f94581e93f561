import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  cutToWindow,
  stretchesOn,
  thinned,
  withEnds,
  withoutSpans,
} from '../../../../src/page/chart/curve.ts';
import { layoutOf, timeTicks } from '../../../../src/page/chart/scales.ts';
import { indexInForce, type Point } from '../../../../src/page/data/history.ts';

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

describe('a gap', () => {
  it('ends the step before it, which held until then', () => {
    expect(withEnds([at(0, 5), at(600, null), at(900, 7)])).toEqual([
      at(0, 5),
      at(600, 5),
      at(600, null),
      at(900, 7),
    ]);
  });

  it('adds nothing where nothing was known before', () => {
    expect(withEnds([at(0, null), at(5, null), at(9, 1)])).toEqual([at(0, null), at(5, null), at(9, 1)]);
  });
});

describe('the chart’s layout', () => {
  it('puts ticks on whole minutes, as many as have room', () => {
    const narrow = timeTicks({ fromMs: 30_000, toMs: 630_000, width: 360 });
    const wide = timeTicks({ fromMs: 30_000, toMs: 630_000, width: 1200 });
    expect(narrow).toEqual([300_000, 600_000]);
    expect(wide).toHaveLength(10);
    expect(wide[0]).toBe(60_000);
  });

  it('keeps labels apart over a day as over minutes', () => {
    const day = timeTicks({ fromMs: 0, toMs: 24 * 3_600_000, width: 780 });
    expect(day).toEqual([0, 4, 8, 12, 16, 20, 24].map((hours) => hours * 3_600_000));
  });

  it('puts no tick before the bench’s zero', () => {
    expect(timeTicks({ fromMs: -500_000, toMs: 100_000, width: 1200 })).toEqual([0, 60_000]);
  });

  it('stacks lanes and bands without overlap and within the picture', () => {
    const layout = layoutOf({ width: 800, lanes: 3, bands: 4, fromMs: 0, toMs: 1000, topPercentLfl: 40 });
    const tops = [...layout.laneTops, ...layout.bandTops, layout.axisTop];
    expect(tops).toEqual([...tops].sort((a, b) => a - b));
    expect((layout.laneTops[1] ?? 0) - (layout.laneTops[0] ?? 0)).toBeGreaterThan(layout.laneHeight);
    expect(layout.axisTop).toBeLessThan(layout.height);
    expect(layout.y(40)).toBe(layout.laneHeight);
  });
});
