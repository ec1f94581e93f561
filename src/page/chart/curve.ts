/** Points of a step curve made ready to draw: cut to a window, broken where unknown, thinned to pixels. */
import type { Point, Span, Switch } from '../data/history.ts';
import type { Items } from '../data/series.ts';
import { within } from '../data/timed.ts';

/** Points from `fromMs` to `toMs`; what held before goes on at the left edge, what holds now to the right. */
export function cutToWindow(points: Items<Point>, fromMs: number, toMs: number): readonly Point[] {
  const inside = within(points, fromMs, toMs);
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

export interface Stretch {
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * When an output was on within the window. What it was before its first change can only have been the
 * other thing; where it has not changed at all, `now` tells.
 */
export function stretchesOn(
  switches: Items<Switch>,
  now: boolean,
  fromMs: number,
  toMs: number,
): readonly Stretch[] {
  const changes = within(switches, fromMs, toMs);
  const before: Switch = { atMs: fromMs, on: isOnAt(switches, now, fromMs) };
  const all = [before, ...changes.filter((change) => change.atMs > fromMs)];
  return all.flatMap((change, index) => {
    const endMs = all[index + 1]?.atMs ?? toMs;
    return change.on && endMs > change.atMs ? [{ fromMs: change.atMs, toMs: endMs }] : [];
  });
}

/** Whether an output was on at a moment, by the same reasoning. */
export function isOnAt(switches: Items<Switch>, now: boolean, atMs: number): boolean {
  const first = switches.at(0);
  if (first === undefined) return now;
  return within(switches, atMs, atMs).at(-1)?.on ?? !first.on;
}

/** The highest value that any of the curves has within a window; 0 where there is none. */
export function highestIn(curves: Iterable<Items<Point>>, fromMs: number, toMs: number): number {
  let highest = 0;
  for (const points of curves) {
    for (const { value } of within(points, fromMs, toMs)) highest = Math.max(highest, value ?? 0);
  }
  return highest;
}
