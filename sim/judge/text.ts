/** How a judge writes moments, limits and lengths: to the millisecond where it comes to that. */
import { exactDuration, formatClock, readableMs } from '../../src/units/index.ts';

const MS_PER_S = 1000;

/** 192000 → "0:03:12", 192400 → "0:03:12.4". */
export function clock(atMs: number): string {
  const rounded = Math.round(atMs);
  const rest = ((rounded % MS_PER_S) + MS_PER_S) % MS_PER_S;
  const decimals = rest === 0 ? '' : `.${String(rest).padStart(3, '0').replace(/0+$/u, '')}`;
  return `${formatClock(rounded)}${decimals}`;
}

/** How long something was: 117013 → "1 min 57 s", but 299999 held against 300000 → "299.999 s". */
export function length(durationMs: number, limitMs?: number): string {
  return exactDuration(readableMs(durationMs, limitMs));
}

/** The last sentence of every case: the limit, where it comes from, and how far it was met or missed. */
export function against(limitMs: number, source: string, marginMs: number): string {
  return `The limit is ${exactDuration(limitMs)} (${source}): ${met(marginMs)}.`;
}

/** How far a limit was met or missed. */
function met(marginMs: number): string {
  if (Math.round(marginMs) === 0) return 'met to the millisecond';
  return marginMs > 0 ? `met with ${length(marginMs)} to spare` : `missed by ${length(-marginMs)}`;
}
