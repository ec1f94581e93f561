/** Lists of what holds from a moment on, ascending in time. */
import { type Items, Series } from './series.ts';

export interface Timed {
  readonly atMs: number;
}

/** Keeps time ascending even where two authors' facts were stored a little out of order. */
export function added<Item extends Timed>(items: Series<Item>, item: Item): Series<Item> {
  const lastMs = items.at(-1)?.atMs ?? item.atMs;
  return items.with(lastMs > item.atMs ? { ...item, atMs: lastMs } : item);
}

/** Without what a moment no longer needs, and with the latest so many at most. */
export function shortened<Item extends Timed>(
  items: Series<Item>,
  fromMs: number,
  countMax: number,
): Series<Item> {
  return items.without(Math.max(indexInForce(items, fromMs), items.length - countMax));
}

export function seriesOf<Item>(items: Items<Item>): Series<Item> {
  if (items instanceof Series) return items as Series<Item>;
  return items.slice().reduce((series, item) => series.with(item), Series.empty<Item>());
}

/** Index of the last item at or before a moment; 0 where there is none. */
export function indexInForce(items: Items<Timed>, atMs: number): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((items.at(middle)?.atMs ?? 0) <= atMs) low = middle + 1;
    else high = middle;
  }
  return Math.max(0, low - 1);
}

/** What holds at a moment; undefined before the first. */
export function inForce<Item extends Timed>(items: Items<Item>, atMs: number): Item | undefined {
  const item = items.at(indexInForce(items, atMs));
  return item !== undefined && item.atMs <= atMs ? item : undefined;
}

/** From what holds at the beginning of a window to the last change within it. */
export function within<Item extends Timed>(
  items: Items<Item>,
  fromMs: number,
  toMs: number,
): readonly Item[] {
  const end = indexInForce(items, toMs);
  const first = items.at(end);
  if (first === undefined || first.atMs > toMs) return [];
  return items.slice(indexInForce(items, fromMs), end + 1);
}
