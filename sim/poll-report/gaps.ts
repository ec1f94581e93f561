/**
 * How long a unit goes unread, and how much of that the line spent waiting in vain for others: a gap that is
 * none without the waiting is the others' doing.
 */

export interface HeldGap {
  gapMs: number;
  waitedMs: number;
}

export interface GapTally {
  /** Since when nobody has read it; null before the first read and after a power cut. */
  sinceMs: number | null;
  /** How long the line had waited for others in vain by then. */
  waitedBeforeMs: number;
  longestMs: number;
  /** Longer than askWithin. */
  tooLong: number;
  /** The longest that no waiting explains. */
  ownMs: number;
  /** When the last of those ended that are longer than the rig allows. */
  lateAtMs: number | null;
  /** The longest of those longer than the rig allows that waiting explains. */
  held: HeldGap | null;
}

/** Of a gap, what waiting must take up to explain it. */
const WAITING_SHARE_MIN = 0.5;

export function newGaps(): GapTally {
  return {
    sinceMs: null,
    waitedBeforeMs: 0,
    longestMs: 0,
    tooLong: 0,
    ownMs: 0,
    lateAtMs: null,
    held: null,
  };
}

export interface GapLimits {
  readonly askWithinMs: number;
  /** The lesser of all that the rig allows. */
  readonly limitMs: number;
}

/**
 * The open gap counts as if it ended now; `waitedMs`: for others, in vain, so far. Its length, where no
 * waiting explains it.
 */
export function endGap(gaps: GapTally, now: number, waitedMs: number, limits: GapLimits): number {
  if (gaps.sinceMs === null) return 0;
  const gap = { gapMs: now - gaps.sinceMs, waitedMs: waitedMs - gaps.waitedBeforeMs };
  gaps.longestMs = Math.max(gaps.longestMs, gap.gapMs);
  if (gap.gapMs > limits.askWithinMs) gaps.tooLong += 1;
  if (isHeld(gap, limits)) {
    if (gap.gapMs > (gaps.held?.gapMs ?? 0)) gaps.held = gap;
    return 0;
  }
  gaps.ownMs = Math.max(gaps.ownMs, gap.gapMs);
  if (gap.gapMs > limits.limitMs) gaps.lateAtMs = now;
  return gap.gapMs;
}

/** It is read, or its line is asked again after a pause. */
export function beginGap(gaps: GapTally, now: number, waitedMs: number): void {
  gaps.sinceMs = now;
  gaps.waitedBeforeMs = waitedMs;
}

function isHeld({ gapMs, waitedMs }: HeldGap, { limitMs }: GapLimits): boolean {
  return gapMs > limitMs && gapMs - waitedMs <= limitMs && waitedMs >= gapMs * WAITING_SHARE_MIN;
}
