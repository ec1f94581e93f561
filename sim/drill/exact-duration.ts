import { formatDuration } from '../../src/units/index.ts';

const MS_PER_S = 1000;
const MS_PER_MIN = 60_000;
const MS_PER_H = 3_600_000;
/** What formatDuration shows to the end: tenths of a second, from an hour on whole minutes. */
const SHOWN_MS = 100;

/** As formatDuration, but true to the millisecond: a limit missed by 30 ms must not read as kept. */
export function exactDuration(durationMs: number): string {
  const wholeMs = Math.round(durationMs);
  const isShown = wholeMs % (wholeMs < MS_PER_H ? SHOWN_MS : MS_PER_MIN) === 0;
  return isShown || wholeMs < MS_PER_S ? formatDuration(wholeMs) : `${wholeMs / MS_PER_S} s`;
}
