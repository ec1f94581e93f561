import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  centredOn,
  type Extent,
  longestSpanMs,
  panned,
  SPAN_MS_MIN,
  type View,
  viewSince,
  windowOf,
  zoomed,
} from '../../../../src/page/chart/view.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const twoHours: Extent = { firstMs: 0, nowMs: 2 * HOUR_MS };
const following: View = { spanMs: 10 * MINUTE_MS, toMs: null };

const extents = fc
  .record({ firstMs: fc.integer({ min: 0, max: 1e9 }), keptMs: fc.integer({ min: 0, max: 2 * HOUR_MS }) })
  .map(({ firstMs, keptMs }): Extent => ({ firstMs, nowMs: firstMs + keptMs }));
const deeds = fc.array(
  fc.oneof(
    fc.integer({ min: -3 * HOUR_MS, max: 3 * HOUR_MS }).map((ms) => (view: View, all: Extent) => {
      return panned(view, all, ms);
    }),
    fc
      .tuple(fc.double({ min: 0.01, max: 100, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }))
      .map(([factor, share]) => (view: View, all: Extent) => {
        const { fromMs, toMs } = windowOf(view, all);
        return zoomed(view, all, factor, fromMs + share * (toMs - fromMs));
      }),
    fc.integer({ min: 0, max: 2e9 }).map((ms) => (view: View, all: Extent) => centredOn(view, all, ms)),
  ),
  { maxLength: 20 },
);

describe('the window of the timeline', () => {
  it('follows now, and shows a young bench as young', () => {
    expect(windowOf(following, twoHours)).toEqual({ fromMs: 110 * MINUTE_MS, toMs: 120 * MINUTE_MS });
    expect(windowOf(following, { firstMs: 0, nowMs: MINUTE_MS }).fromMs).toBe(-9 * MINUTE_MS);
  });

  it('stands still once it was moved back, and follows again once it comes to the end', () => {
    const back = panned(following, twoHours, -30 * MINUTE_MS);
    const later = { ...twoHours, nowMs: twoHours.nowMs + 5 * MINUTE_MS };
    expect(windowOf(back, later)).toEqual({ fromMs: 80 * MINUTE_MS, toMs: 90 * MINUTE_MS });
    expect(panned(back, later, HOUR_MS).toMs).toBeNull();
  });

  it('goes no further back than to what is kept', () => {
    const first = panned(following, twoHours, Number.NEGATIVE_INFINITY);
    expect(windowOf(first, twoHours)).toEqual({ fromMs: 0, toMs: 10 * MINUTE_MS });
  });

  it('keeps what is under the pointer there when it zooms', () => {
    const back = panned(following, twoHours, -HOUR_MS);
    const before = windowOf(back, twoHours);
    const atMs = before.fromMs + 0.3 * (before.toMs - before.fromMs);
    const after = windowOf(zoomed(back, twoHours, 0.25, atMs), twoHours);
    expect(after.toMs - after.fromMs).toBeCloseTo(2.5 * MINUTE_MS);
    expect((atMs - after.fromMs) / (after.toMs - after.fromMs)).toBeCloseTo(0.3);
  });

  it('stands on all that came since a moment, as far as it is kept', () => {
    const since = viewSince(90 * MINUTE_MS, twoHours);
    const later = { ...twoHours, nowMs: twoHours.nowMs + 5 * MINUTE_MS };
    expect(windowOf(since, later)).toEqual({ fromMs: 90 * MINUTE_MS, toMs: 120 * MINUTE_MS });
    expect(windowOf(viewSince(0, { ...twoHours, firstMs: HOUR_MS }), twoHours).fromMs).toBe(HOUR_MS);
  });

  it('goes on following when it zooms without a place', () => {
    expect(zoomed(following, twoHours, 2)).toEqual({ spanMs: 20 * MINUTE_MS, toMs: null });
  });

  it('shows from half a minute to all that is kept, an hour at least, and never the future', () => {
    fc.assert(
      fc.property(extents, deeds, (extent, all) => {
        const view = all.reduce<View>((one, deed) => deed(one, extent), following);
        const { fromMs, toMs } = windowOf(view, extent);
        const spanMs = toMs - fromMs;
        expect(spanMs).toBeGreaterThanOrEqual(SPAN_MS_MIN - 1);
        expect(spanMs).toBeLessThanOrEqual(longestSpanMs(extent) + 1);
        expect(longestSpanMs(extent)).toBeGreaterThanOrEqual(HOUR_MS);
        expect(toMs).toBeLessThanOrEqual(extent.nowMs);
        // Either it ends now, or all of it lies in what is kept.
        expect(toMs === extent.nowMs || fromMs >= extent.firstMs - 1).toBe(true);
      }),
    );
  });
});
