/**
 * Span algebra: when something held, as a list of half-open spans [fromMs, toMs).
 *
 * Invariant of every list: in order, disjoint, none empty, none touching the next. That makes "the span
 * that holds at t" the whole unbroken time of it, which is what limits are counted in.
 */
import type { Signal } from './trace.ts';

export interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

export type Spans = readonly Span[];

/** When the signal's value passes; its last value lasts until `endMs`. */
export function whileIs<Value>(
  signal: Signal<Value>,
  passes: (value: Value) => boolean,
  endMs: number,
): Spans {
  const spans: Span[] = [];
  let sinceMs: number | null = null;
  for (const { atMs, value } of signal) {
    const now = passes(value);
    if (now && sinceMs === null) sinceMs = atMs;
    if (now || sinceMs === null) continue;
    // Two changes at one moment leave nothing behind: the later one is in force.
    push(spans, sinceMs, Math.min(atMs, endMs));
    sinceMs = null;
  }
  if (sinceMs !== null) push(spans, sinceMs, endMs);
  return spans;
}

/** Any spans in any order, made a list that keeps the invariant. */
export function spansOf(loose: Spans): Spans {
  const spans: Span[] = [];
  for (const span of [...loose].sort((a, b) => a.fromMs - b.fromMs)) push(spans, span.fromMs, span.toMs);
  return spans;
}

export function union(...lists: readonly Spans[]): Spans {
  return spansOf(lists.flat());
}

export function intersect(a: Spans, b: Spans): Spans {
  const spans: Span[] = [];
  let i = 0;
  let j = 0;
  for (;;) {
    const one = a[i];
    const other = b[j];
    if (one === undefined || other === undefined) return spans;
    push(spans, Math.max(one.fromMs, other.fromMs), Math.min(one.toMs, other.toMs));
    if (one.toMs <= other.toMs) i += 1;
    else j += 1;
  }
}

export function intersectAll(lists: readonly [Spans, ...Spans[]]): Spans {
  return lists.reduce((all, one) => intersect(all, one));
}

/** What is left of `a` where `b` does not hold. */
export function minus(a: Spans, b: Spans): Spans {
  const spans: Span[] = [];
  for (const span of a) {
    let fromMs = span.fromMs;
    for (const hole of within(span, b)) {
      push(spans, fromMs, hole.fromMs);
      fromMs = hole.toMs;
    }
    push(spans, fromMs, span.toMs);
  }
  return spans;
}

/** The parts of `spans` inside one span; found by halving, so that many short looks stay cheap. */
export function within(span: Span, spans: Spans): Spans {
  const parts: Span[] = [];
  for (let index = firstEndingAfter(spans, span.fromMs); index < spans.length; index += 1) {
    const one = spans[index];
    if (one === undefined || one.fromMs >= span.toMs) break;
    push(parts, Math.max(one.fromMs, span.fromMs), Math.min(one.toMs, span.toMs));
  }
  return parts;
}

/** The span that holds at a moment. */
export function spanAt(spans: Spans, atMs: number): Span | undefined {
  const span = spans[firstEndingAfter(spans, atMs)];
  return span !== undefined && span.fromMs <= atMs ? span : undefined;
}

/** The span that holds right before a moment. */
export function spanUpTo(spans: Spans, atMs: number): Span | undefined {
  const span = spans[firstIndex(spans, (one) => one.toMs >= atMs)];
  return span !== undefined && span.fromMs < atMs ? span : undefined;
}

/** It holds at the moment, and did right before. */
export function isInside(spans: Spans, atMs: number): boolean {
  const span = spanAt(spans, atMs);
  return span !== undefined && span.fromMs < atMs;
}

/** The first moment from `atMs` on at which it holds. */
export function firstFrom(spans: Spans, atMs: number): number | undefined {
  const span = spans[firstEndingAfter(spans, atMs)];
  return span === undefined ? undefined : Math.max(span.fromMs, atMs);
}

/** The latest moment up to `atMs` at which it held or had just ended. */
export function lastUntil(spans: Spans, atMs: number): number | undefined {
  const index = firstEndingAfter(spans, atMs);
  const span = spans[index];
  return span !== undefined && span.fromMs <= atMs ? atMs : spans[index - 1]?.toMs;
}

/** What is left of each span once it has lasted for `delayMs`. */
export function after(spans: Spans, delayMs: number): Spans {
  return spans.flatMap(({ fromMs, toMs }) =>
    toMs > fromMs + delayMs ? [{ fromMs: fromMs + delayMs, toMs }] : [],
  );
}

export function lengthMs(spans: Spans): number {
  return spans.reduce((sum, span) => sum + span.toMs - span.fromMs, 0);
}

/** The items of a sorted list whose moment lies in the span. */
export function itemsIn<Item extends { readonly atMs: number }>(
  items: readonly Item[],
  { fromMs, toMs }: Span,
): readonly Item[] {
  return items.slice(
    firstIndex(items, (item) => item.atMs >= fromMs),
    firstIndex(items, (item) => item.atMs >= toMs),
  );
}

/** The last of a sorted list of moments that is not after `atMs`. */
export function lastMoment(moments: readonly number[], atMs: number): number | undefined {
  return moments[firstIndex(moments, (moment) => moment > atMs) - 1];
}

function firstEndingAfter(spans: Spans, atMs: number): number {
  return firstIndex(spans, (span) => span.toMs > atMs);
}

/** Index of the first item that passes, where all before it do not and all after it do. */
export function firstIndex<Item>(items: readonly Item[], passes: (item: Item) => boolean): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    const item = items[middle];
    if (item !== undefined && passes(item)) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Adds a span that begins no earlier than the last; an empty one is none, a touching one lengthens it. */
function push(spans: Span[], fromMs: number, toMs: number): void {
  if (toMs <= fromMs) return;
  const last = spans.at(-1);
  if (last === undefined || last.toMs < fromMs) spans.push({ fromMs, toMs });
  else if (toMs > last.toMs) spans[spans.length - 1] = { fromMs: last.fromMs, toMs };
}
