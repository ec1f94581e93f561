/**
 * A steady release of refrigerant: how fast, and until when, never more than the charge that is left.
 *
 * Moments are whole ms. Where the charge gives out between two of them, the release goes on to the later
 * one at a rate that is less by that fraction of a millisecond, so that the mass is exact.
 */
import { type Ms, ms } from '../../src/units/index.ts';

/** At a rate, for a time (null: until the charge is gone), or so many kg at a steady rate. */
export type Release =
  | { readonly rateKgPerS: number; readonly lastsMs: Ms | null }
  | { readonly kg: number; readonly emptiesInMs: Ms };

export interface Outflow {
  /** As it begins. */
  readonly kgPerS: number;
  /** How fast it falls from then on, 1/s; left out, it stays. */
  readonly fallsPerS?: number;
  readonly fromMs: Ms;
  /** The moment it ends. */
  readonly untilMs: Ms;
}

const MS_PER_S = 1000;
/** A charge that lasts this little longer than a whole ms ends there: rounding, not time. */
const ROUNDING_MS = 1e-6;

/** Throws RangeError on a rate that is not positive, or a charge that is not finite. */
export function beginRelease(release: Release, chargeLeftKg: number, now: Ms): Outflow {
  const byRate = 'rateKgPerS' in release;
  const wantedMs = byRate ? (release.lastsMs ?? Number.POSITIVE_INFINITY) : release.emptiesInMs;
  const lastsMs = atLeastOneMs(Math.round(wantedMs));
  const kgPerS = byRate ? release.rateKgPerS : (release.kg / lastsMs) * MS_PER_S;
  const chargeMs = atLeastOneMs(Math.ceil((chargeLeftKg / kgPerS) * MS_PER_S - ROUNDING_MS));
  if (!(kgPerS > 0) || !Number.isFinite(chargeMs)) {
    throw new RangeError(`beginRelease: ${kgPerS} kg/s of ${chargeLeftKg} kg`);
  }
  return lastsMs < chargeMs
    ? { kgPerS, fromMs: now, untilMs: ms(now + lastsMs) }
    : { kgPerS: (chargeLeftKg / chargeMs) * MS_PER_S, fromMs: now, untilMs: ms(now + chargeMs) };
}

function atLeastOneMs(durationMs: number): number {
  return Math.max(1, durationMs);
}
