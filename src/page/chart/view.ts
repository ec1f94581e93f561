/** Which stretch of time is in sight: a length, and an end that stands still or follows the bench. */

export interface View {
  /** Infinity is all that is kept, and grows with it. */
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
const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
/** "All" grows in steps, so that a run need not be drawn anew with every second of it. */
const WHOLE_MS = [10, 20, 40, 60, 90, 120].map((minutes) => minutes * MINUTE_MS);

/** How far it can be zoomed out: an hour at least, else all that is kept. */
export function longestSpanMs(extent: Extent): number {
  return Math.max(HOUR_MS, wholeSpanMs(extent));
}

export function wholeSpanMs({ firstMs, nowMs }: Extent): number {
  return WHOLE_MS.find((one) => one >= nowMs - firstMs) ?? nowMs - firstMs;
}

export function windowOf({ spanMs, toMs }: View, extent: Extent): Window {
  const wanted = spanMs === Number.POSITIVE_INFINITY ? wholeSpanMs(extent) : spanMs;
  const span = clamped(wanted, SPAN_MS_MIN, longestSpanMs(extent));
  const end = clamped(toMs ?? extent.nowMs, Math.min(extent.nowMs, extent.firstMs + span), extent.nowMs);
  return { fromMs: end - span, toMs: end };
}

/** Stands on what came since a moment, up to now. */
export function viewSince(sinceMs: number, { firstMs, nowMs }: Extent): View {
  return { spanMs: nowMs - Math.max(sinceMs, firstMs), toMs: nowMs };
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
  const { fromMs, toMs } = windowOf(view, extent);
  return endingAt(view.spanMs, atMs + (toMs - fromMs) / 2, extent);
}

function endingAt(spanMs: number, toMs: number, extent: Extent): View {
  const end = windowOf({ spanMs, toMs }, extent).toMs;
  return { spanMs, toMs: end >= extent.nowMs ? null : end };
}

export function clamped(value: number, low: number, high: number): number {
  return Math.max(low, Math.min(high, value));
}
