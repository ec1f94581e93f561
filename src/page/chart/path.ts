/** Step curves as SVG paths: each value holds to the next point, and a null ends it. */
import type { Point } from '../data/history.ts';

export interface Scale {
  readonly x: (atMs: number) => number;
  /** Down from the top, as SVG counts. */
  readonly y: (value: number) => number;
}

export function strokePath(points: readonly Point[], { x, y }: Scale): string {
  let path = '';
  let before: number | null = null;
  for (const { atMs, value } of points) {
    const across = x(atMs);
    if (before !== null) path += `H${across}`;
    if (value !== null) {
      const down = y(value);
      path += before === null ? `M${across},${down}` : down === y(before) ? '' : `V${down}`;
    }
    before = value;
  }
  return path;
}

/** The same, closed down to a base. */
export function fieldPath(points: readonly Point[], { x, y }: Scale, base: number): string {
  let path = '';
  let before: number | null = null;
  for (const { atMs, value } of points) {
    const across = x(atMs);
    if (before !== null) path += `H${across}`;
    if (value === null) {
      if (before !== null) path += `V${base}Z`;
    } else path += before === null ? `M${across},${base}V${y(value)}` : `V${y(value)}`;
    before = value;
  }
  return before === null ? path : `${path}V${base}Z`;
}
