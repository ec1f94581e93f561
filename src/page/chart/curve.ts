/** Points of a step curve made ready to draw: cut to the window, broken where unknown, thinned to pixels. */
import { indexInForce, type Point, type Span, type Switch } from '../data/history.ts';

/** Points from `fromMs` to `toMs`; what held before goes on at the left edge, what holds now to the right. */
export function cutToWindow(points: readonly Point[], fromMs: number, toMs: number): readonly Point[] {
  const inside = points.slice(indexInForce(points, fromMs)).filter((point) => point.atMs <= toMs);
  const last = inside.at(-1);
  if (last === undefined) return [];
  const cut = inside.map((point) => (point.atMs < fromMs ? { ...point, atMs: fromMs } : point));
  return [...cut, { atMs: toMs, value: last.value }];
}

/** No curve while a span lasts: the last number of a sensor that went silent is not a reading. */
export function withoutSpans(points: readonly Point[], spans: readonly Span[]): readonly Point[] {
  return spans.reduce((kept, span) => withoutSpan(kept, span.fromMs, span.toMs), points);
}

function withoutSpan(points: readonly Point[], fromMs: number, toMs: number | null): readonly Point[] {
  const before = points.filter((point) => point.atMs < fromMs);
  const gap = { atMs: fromMs, value: null };
  if (toMs === null) return [...before, gap];
  const resumed = points.findLast((point) => point.atMs <= toMs);
  const after = points.filter((point) => point.atMs > toMs);
  return [...before, gap, { atMs: toMs, value: resumed?.value ?? null }, ...after];
}

/**
 * At most four points a column: first, lowest, highest and last. No peak is lost, which thinning by every
 * nth point would do.
 */
export function thinned(points: readonly Point[], fromMs: number, columnMs: number): readonly Point[] {
  const kept: Point[] = [];
  let column: Point[] = [];
  let number = Number.NaN;
  for (const point of points) {
    const at = Math.floor((point.atMs - fromMs) / columnMs);
    if (at !== number) {
      kept.push(...extremes(column));
      column = [];
      number = at;
    }
    column.push(point);
  }
  kept.push(...extremes(column));
  return kept;
}

function extremes(column: readonly Point[]): readonly Point[] {
  if (column.length <= 4) return column;
  const rank = (point: Point): number => point.value ?? -1;
  const low = column.reduce((best, point) => (rank(point) < rank(best) ? point : best));
  const high = column.reduce((best, point) => (rank(point) > rank(best) ? point : best));
  const wanted = new Set([column[0], low, high, column.at(-1)]);
  return column.filter((point) => wanted.has(point));
}

/** A step holds until the gap that ends it; without its end it would be drawn only to its last change. */
export function withEnds(points: readonly Point[]): readonly Point[] {
  return points.flatMap((point, index) => {
    const before = points[index - 1]?.value ?? null;
    return point.value === null && before !== null ? [{ atMs: point.atMs, value: before }, point] : [point];
  });
}

export interface Stretch {
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * When an output was on within the window. What it was before its first change can only have been the
 * other thing; where it has not changed at all, `now` tells.
 */
export function stretchesOn(
  switches: readonly Switch[],
  now: boolean,
  fromMs: number,
  toMs: number,
): readonly Stretch[] {
  const first = switches[0];
  const before: Switch = { atMs: fromMs, on: first === undefined ? now : !first.on };
  const all = first === undefined || first.atMs > fromMs ? [before, ...switches] : switches;
  const stretches: Stretch[] = [];
  all.forEach((change, index) => {
    const endMs = Math.min(toMs, all[index + 1]?.atMs ?? toMs);
    const beginMs = Math.max(fromMs, change.atMs);
    if (change.on && endMs > beginMs) stretches.push({ fromMs: beginMs, toMs: endMs });
  });
  return stretches;
}
