/** Mean and scatter of numbers that are not kept (Welford's recurrence). */

export interface Running {
  count: number;
  mean: number;
  /** Sum of the squared distances from the mean. */
  squares: number;
  min: number;
  max: number;
}

/** A Running as the report shows it. */
export interface Spread {
  count: number;
  meanMs: number;
  minMs: number;
  maxMs: number;
  /** Standard deviation. */
  jitterMs: number;
}

export function running(): Running {
  return { count: 0, mean: 0, squares: 0, min: Number.POSITIVE_INFINITY, max: Number.NEGATIVE_INFINITY };
}

export function add(all: Running, value: number): void {
  all.count += 1;
  const before = value - all.mean;
  all.mean += before / all.count;
  all.squares += before * (value - all.mean);
  all.min = Math.min(all.min, value);
  all.max = Math.max(all.max, value);
}

/** null before the first number: there is no mean of nothing. */
export function spreadOf({ count, mean, squares, min, max }: Running): Spread | null {
  if (count === 0) return null;
  const jitterMs = Math.sqrt(squares / count);
  return { count, meanMs: tenths(mean), minMs: tenths(min), maxMs: tenths(max), jitterMs: tenths(jitterMs) };
}

export function tenths(value: number): number {
  return Math.round(value * 10) / 10;
}
