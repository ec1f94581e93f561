/** Points of a step curve made ready to draw: cut to a window, broken where unknown, thinned to pixels. */
import type { Point, Span, Switch } from '../data/history.ts';
import type { Items } from '../data/series.ts';
import { indexInForce, inForce, within } from '../data/timed.ts';

/** Points from `fromMs` to `toMs`; what held before goes on at the left edge, what holds now to the right. */
export function cutToWindow(points: Items<Point>, fromMs: number, toMs: number): readonly Point[] {
  const inside = [...within(points, fromMs, toMs)];
  const [first, last] = [inside[0], inside.at(-1)];
  if (first === undefined || last === undefined) return [];
  if (first.atMs < fromMs) inside[0] = { ...first, atMs: fromMs };
  inside.push({ atMs: toMs, value: last.value });
  return inside;
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
 * nth point would do. An hour of a whole rig goes through here at each zoom: one pass, nothing built aside.
 */
export function thinned(points: readonly Point[], fromMs: number, columnMs: number): readonly Point[] {
  const kept: Point[] = [];
  let [first, low, high] = [0, 0, 0];
  const rank = (index: number): number => points[index]?.value ?? -1;
  const columnOf = (index: number): number => Math.floor(((points[index]?.atMs ?? 0) - fromMs) / columnMs);
  for (let index = 0; index < points.length; index += 1) {
    if (rank(index) < rank(low)) low = index;
    if (rank(index) > rank(high)) high = index;
    if (index + 1 < points.length && columnOf(index + 1) === columnOf(first)) continue;
    keep(points, [first, Math.min(low, high), Math.max(low, high), index], kept);
    first = index + 1;
    low = first;
    high = first;
  }
  return kept;
}

/** Places ascend; one that comes twice is kept once. */
function keep(points: readonly Point[], places: readonly number[], kept: Point[]): void {
  let before = -1;
  for (const place of places) {
    const point = points[place];
    if (place !== before && point !== undefined) kept.push(point);
    before = place;
  }
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
  return inForce(switches, atMs)?.on ?? !first.on;
}

/** The highest value that any of the curves has within a window; 0 where there is none. */
export function highestIn(curves: Iterable<Items<Point>>, fromMs: number, toMs: number): number {
  let highest = 0;
  for (const points of curves) {
    const end = indexInForce(points, toMs);
    for (let index = indexInForce(points, fromMs); index <= end; index += 1) {
      const point = points.at(index);
      if (point !== undefined && point.atMs <= toMs) highest = Math.max(highest, point.value ?? 0);
    }
  }
  return highest;
}
