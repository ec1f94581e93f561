/** How a judge writes moments and lengths: to the millisecond where it comes to that, shorter where not. */
import { formatClock, formatDuration } from '../../src/units/index.ts';

const MS_PER_S = 1000;
/** What `formatDuration` rounds to. */
const SHOWN_MS = 100;

/** 192000 → "0:03:12", 192400 → "0:03:12.4". */
export function clock(atMs: number): string {
  const rounded = Math.round(atMs);
  const rest = ((rounded % MS_PER_S) + MS_PER_S) % MS_PER_S;
  const decimals = rest === 0 ? '' : `.${String(rest).padStart(3, '0').replace(/0+$/u, '')}`;
  return `${formatClock(rounded)}${decimals}`;
}

/** 15000 → "15 s", 300000 → "5 min", 15001 → "15.001 s". */
export function length(durationMs: number): string {
  const rounded = Math.round(durationMs);
  return rounded % SHOWN_MS === 0 && rounded !== 0
    ? formatDuration(rounded)
    : `${String(rounded / MS_PER_S)} s`;
}

/** The last sentence of every case: the limit, where it comes from, and how far it was met or missed. */
export function against(limitMs: number, source: string, marginMs: number): string {
  return `The limit is ${length(limitMs)} (${source}): ${met(marginMs)}.`;
}

/** How far a limit was met or missed. */
function met(marginMs: number): string {
  if (Math.round(marginMs) === 0) return 'met to the millisecond';
  return marginMs > 0 ? `met with ${length(marginMs)} to spare` : `missed by ${length(-marginMs)}`;
}
