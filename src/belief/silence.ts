/**
 * Silence, of a sensor and of the field I/O alike: asked in vain for too long, or not heard for too long though
 * nobody asked. A stopped process and a bus that never settles ask nobody, and what happens meanwhile is as
 * unknown as behind a dead sensor.
 */
import type { Ms } from '../units/index.ts';

export interface SilenceLimits {
  /** From the first request without a good answer on. */
  readonly silentAfterMs: Ms;
  /** From the last good answer on, where no request has failed: longer than any sound cycle takes. */
  readonly unheardAfterMs: Ms;
}

/** When silence comes up if nothing is heard before; Infinity for whom nobody has asked yet. */
export function silentAtMs(unansweredSinceMs: Ms | null, lastAtMs: Ms | null, limits: SilenceLimits): number {
  if (unansweredSinceMs !== null) return unansweredSinceMs + limits.silentAfterMs;
  return lastAtMs === null ? Number.POSITIVE_INFINITY : lastAtMs + limits.unheardAfterMs;
}
