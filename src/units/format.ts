/** Quantities as we show them: short, with unit, the same on the page, in events and in reports. */

const MS_PER_S = 1000;
const MS_PER_MIN = 60 * MS_PER_S;
const MS_PER_H = 60 * MS_PER_MIN;

/** 300000 → "5 min", 330000 → "5 min 30 s", 500 → "500 ms", 5400000 → "1 h 30 min". */
export function formatDuration(durationMs: number): string {
  const exact = Math.abs(Math.round(durationMs));
  const sign = durationMs < 0 && exact > 0 ? '-' : '';
  if (exact < MS_PER_S) return `${sign}${exact} ms`;
  // Rounded to what is shown before it is split: 59.96 s is 1 min, never "60 s".
  const whole = Math.round(exact / 100) * 100;
  const hours = Math.floor(whole / MS_PER_H);
  const minutes = Math.floor((whole % MS_PER_H) / MS_PER_MIN);
  const seconds = (whole % MS_PER_MIN) / MS_PER_S;
  const parts = [
    hours > 0 ? `${hours} h` : '',
    minutes > 0 ? `${minutes} min` : '',
    seconds > 0 && hours === 0 ? `${seconds} s` : '',
  ];
  return sign + parts.filter((part) => part !== '').join(' ');
}

/** What formatDuration shows to the end: tenths of a second, from an hour on whole minutes. */
const SHOWN_MS = 100;

/** As formatDuration, but true to the millisecond: a limit missed by 30 ms must not read as kept. */
export function exactDuration(durationMs: number): string {
  const wholeMs = Math.round(durationMs);
  const isShown = wholeMs % (wholeMs < MS_PER_H ? SHOWN_MS : MS_PER_MIN) === 0;
  return isShown || wholeMs < MS_PER_S ? formatDuration(wholeMs) : `${wholeMs / MS_PER_S} s`;
}

/**
 * A time that took its course, as exact as a sentence about it need be: tenths of a second, from a minute on
 * whole ones. Exact below a second, and where rounding would make it read as `limitMs` itself.
 */
export function readableMs(durationMs: number, limitMs?: number): number {
  const exactMs = Math.round(durationMs);
  if (exactMs < MS_PER_S) return exactMs;
  const stepMs = exactMs < MS_PER_MIN ? MS_PER_S / 10 : MS_PER_S;
  const nearMs = Math.round(exactMs / stepMs) * stepMs;
  return nearMs === limitMs ? exactMs : nearMs;
}

/** 20.04 → "20 %LFL", 3.14 → "3.1 %LFL", null → "no reading". */
export function formatGas(percentLfl: number | null): string {
  return percentLfl === null ? 'no reading' : `${Math.round(percentLfl * 10) / 10} %LFL`;
}

/** Bench time as a clock: 192000 → "0:03:12". */
export function formatClock(atMs: number): string {
  const seconds = Math.max(0, Math.floor(atMs / MS_PER_S));
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${Math.floor(seconds / 3600)}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
}
