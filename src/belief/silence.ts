/**
 * Silence, of a sensor and of the field I/O alike: asked in vain for too long, or not heard for too long
 * though nobody asked. A stopped process and a bus that never settles ask nobody, and what happens meanwhile
 * is as unknown as behind a dead sensor.
 */
import type { Ms } from '../units/index.ts';

export interface SilenceLimits {
  /** From the first request without a good answer on. */
  readonly silentAfterMs: Ms;
  /** From the last good answer on, where no request has failed: longer than any sound cycle takes. */
  readonly unheardAfterMs: Ms;
}

/**
 * When silence comes up if nothing is heard before; Infinity for whom nobody has asked yet. A request that
 * fails after a long time without any does not end the silence that stands by then.
 */
export function silentAtMs(unansweredSinceMs: Ms | null, lastAtMs: Ms | null, limits: SilenceLimits): number {
  const askedMs = (unansweredSinceMs ?? Number.POSITIVE_INFINITY) + limits.silentAfterMs;
  return Math.min(askedMs, (lastAtMs ?? Number.POSITIVE_INFINITY) + limits.unheardAfterMs);
}

/** Since when nothing is known of it: the first request in vain or, where that came late, the last answer. */
export function unknownSinceMs(
  unansweredSinceMs: Ms | null,
  lastAtMs: Ms | null,
  { unheardAfterMs }: SilenceLimits,
): Ms | null {
  if (unansweredSinceMs === null || lastAtMs === null) return unansweredSinceMs ?? lastAtMs;
  return unansweredSinceMs - lastAtMs >= unheardAfterMs ? lastAtMs : unansweredSinceMs;
}
