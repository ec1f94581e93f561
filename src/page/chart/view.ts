/** Which stretch of time is in sight: a length, and an end that stands still or follows the bench. */

export interface View {
  readonly spanMs: number;
  /** null follows now. */
  readonly toMs: number | null;
}

/** What there is to see. */
export interface Extent {
  readonly firstMs: number;
  readonly nowMs: number;
}

export interface Window {
  readonly fromMs: number;
  readonly toMs: number;
}

export const SPAN_MS_MIN = 30_000;
const HOUR_MS = 3_600_000;

/** An hour at least, so that a young bench is not shown as if it were an old one; else all that is kept. */
export function longestSpanMs({ firstMs, nowMs }: Extent): number {
  return Math.max(HOUR_MS, nowMs - firstMs);
}

export function windowOf({ spanMs, toMs }: View, extent: Extent): Window {
  const span = clamped(spanMs, SPAN_MS_MIN, longestSpanMs(extent));
  const end = clamped(toMs ?? extent.nowMs, Math.min(extent.nowMs, extent.firstMs + span), extent.nowMs);
  return { fromMs: end - span, toMs: end };
}

/** Later by so much, or earlier; a window that comes to the end follows from there. */
export function panned(view: View, extent: Extent, byMs: number): View {
  const { toMs } = windowOf(view, extent);
  return endingAt(view.spanMs, toMs + byMs, extent);
}

/** Longer by a factor; what stood at `atMs` stays where it is. Without it, the end stays. */
export function zoomed(view: View, extent: Extent, factor: number, atMs?: number): View {
  const { fromMs, toMs } = windowOf(view, extent);
  const span = clamped((toMs - fromMs) * factor, SPAN_MS_MIN, longestSpanMs(extent));
  if (atMs === undefined) return { spanMs: span, toMs: view.toMs };
  return endingAt(span, atMs + ((toMs - atMs) * span) / (toMs - fromMs), extent);
}

/** Around a moment, as nearly as there is time on both sides. */
export function centredOn(view: View, extent: Extent, atMs: number): View {
  return endingAt(view.spanMs, atMs + view.spanMs / 2, extent);
}

function endingAt(spanMs: number, toMs: number, extent: Extent): View {
  const end = windowOf({ spanMs, toMs }, extent).toMs;
  return { spanMs, toMs: end >= extent.nowMs ? null : end };
}

export function clamped(value: number, low: number, high: number): number {
  return Math.max(low, Math.min(high, value));
}
