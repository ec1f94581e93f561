/**
 * An element that a vapour has dulled, and that comes round: some contaminants poison a metal-oxide element
 * for a time (industry research, second hand).
 *
 * While the vapour is there a share of the sensitivity is left. Once it is gone what is missing halves again
 * and again, 1 - (1 - factor) 2^(-t / halfLife): our own choice of a law, no source.
 */

import type { Ms } from '../../src/units/index.ts';
import type { FaultOf } from '../faults/index.ts';

export interface Poison {
  /** What is left of the sensitivity while the vapour is there. */
  readonly factor: number;
  readonly halfLifeMs: number;
  /** When the vapour went; null while it is there. */
  readonly goneMs: Ms | null;
}

/** From here on an element counts as sound: what is missing then, a quarter of a %LFL in 25, is let go. */
const SOUND_FROM = 0.99;

/** The share of the gas that the element sees. */
export function sensitivityOf(poison: Poison | null, now: Ms): number {
  if (poison === null) return 1;
  const { factor, halfLifeMs, goneMs } = poison;
  return goneMs === null ? factor : 1 - (1 - factor) * 2 ** ((goneMs - now) / halfLifeMs);
}

/** Poison on poison: an element that has not come round yet sees no more than it does. */
export function poisonedAnew(
  before: Poison | null,
  { factor, halfLife }: FaultOf<'poisoned'>['parameters'],
  now: Ms,
): Poison {
  return { factor: Math.min(factor, sensitivityOf(before, now)), halfLifeMs: halfLife, goneMs: null };
}

/** How long after the vapour went the element counts as sound. */
export function recoveryMs({ factor, halfLifeMs }: Poison): Ms {
  return Math.ceil(Math.max(0, halfLifeMs * Math.log2((1 - factor) / (1 - SOUND_FROM)))) as Ms;
}
