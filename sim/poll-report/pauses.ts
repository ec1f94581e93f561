/**
 * Stretches in which nobody asked anybody on a line. Such a pause is the controller's as a whole (a restart,
 * a survey before its start), and says nothing of how often it asks one unit. But where time after time no
 * more than a burst of requests lies between two, they are its pace, and each unit is asked too seldom.
 */

export interface Pauses {
  count: number;
  longestMs: number;
  /** When the last of them ended. */
  untilMs: number | null;
}

export interface PauseTally {
  /** Shorter is none. */
  readonly leastMs: number;
  /** Before the row. */
  told: Pauses;
  /** The last ones, with bursts alone between them. */
  row: Pauses;
  /** Of the stretch of asking that goes on; null before it. */
  firstMs: number | null;
  lastMs: number | null;
  /** How often the range that it came back to most has been asked for again in it, after an answer. */
  turns: number;
}

/** A burst is a cycle, or two. */
const BURST_TURNS_MAX = 2;
/** So many pauses in a row are a pace: a controller that is tried out may well be started twice. */
const PACE_MIN = 3;

export function newPauses(leastMs: number): PauseTally {
  return { leastMs, told: none(), row: none(), firstMs: null, lastMs: null, turns: 0 };
}

/** A request comes: what it ends, if anything. */
export function endOfPause(tally: PauseTally, now: number): 'pause' | 'pace' | null {
  const { firstMs, lastMs, leastMs, turns } = tally;
  tally.firstMs ??= now;
  tally.lastMs = now;
  if (firstMs === null || lastMs === null || now - lastMs <= leastMs) return null;
  const isBurst = turns <= BURST_TURNS_MAX && lastMs - firstMs < now - lastMs;
  if (!isBurst) {
    tally.told = pausesOf(tally);
    tally.row = none();
  }
  tally.row.count += 1;
  tally.row.longestMs = Math.max(tally.row.longestMs, now - lastMs);
  tally.row.untilMs = now;
  tally.firstMs = now;
  tally.turns = 0;
  return tally.row.count < PACE_MIN ? 'pause' : 'pace';
}

/** What is known of who asked last is void, such as after a power cut: what comes next ends no pause. */
export function pausesForget(tally: PauseTally): void {
  tally.firstMs = null;
  tally.lastMs = null;
  tally.turns = 0;
}

/** All that are no pace. */
export function pausesOf({ told, row }: PauseTally): Pauses {
  if (row.count === 0 || row.count >= PACE_MIN) return { ...told };
  const { count, longestMs, untilMs } = row;
  return { count: told.count + count, longestMs: Math.max(told.longestMs, longestMs), untilMs };
}

function none(): Pauses {
  return { count: 0, longestMs: 0, untilMs: null };
}
