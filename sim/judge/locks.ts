/**
 * Lock-outs: from the onset of the last of `trips` gas or contradiction episodes within `within`, until a
 * press of the service reset at which no reason holds.
 *
 * The words leave room, so they are read twice. `least` is what a controller must do: gas ends strictly,
 * so that trips are few; any press the controller can see at which no reason stands by the lax end
 * unlocks, and forgets earlier onsets even where nothing was locked. `most` is what it may do: gas ends
 * laxly, so that trips are many; a press counts only in judged time with no reason standing by the strict
 * end, and forgets nothing unless it unlocked.
 *
 * Trips count across power cuts: `within` may well be a day.
 */
import type { Episode } from './episodes.ts';
import type { JudgedPolicy } from './policy.ts';
import { laxSpan, type Reason } from './reason.ts';
import { isInside, type Spans, spanAt, spansOf } from './spans.ts';
import type { Trace } from './trace.ts';

export interface Lock {
  /** Onset of the last trip. */
  readonly fromMs: number;
  /**
   * Onset of the first trip that counted, and the controller's loss of power, or the drill's end, after
   * it.
   */
  readonly firstTripMs: number;
  readonly cutMs: number;
  /** When the hold of the last trip's episode has passed. */
  readonly episodeToMs: number;
  /** The reset, or the end of the drill. */
  readonly untilMs: number;
}

interface LockFacts {
  readonly trace: Trace;
  readonly policy: JudgedPolicy;
  readonly acting: Spans;
  readonly judged: Spans;
  readonly strict: Spans;
  readonly resetPresses: readonly number[];
}

export function locksIn(
  facts: LockFacts,
  episodes: readonly Episode[],
  reading: 'least' | 'most',
): readonly Lock[] {
  const { latchAfter } = facts.policy;
  if (latchAfter === null) return [];
  const locks: Lock[] = [];
  const presses = unlockingPresses(facts, episodes, reading);
  let nextPress = 0;
  let trips: Reason[] = [];
  for (const { trip, toMs } of episodes) {
    if (trip === null) continue;
    const tripMs = trip.fromMs;
    for (; (presses[nextPress] ?? Infinity) < tripMs; nextPress += 1) if (reading === 'least') trips = [];
    // Trips during a lock-out change nothing.
    if (tripMs < (locks.at(-1)?.untilMs ?? -Infinity)) continue;
    trips = [...trips, trip].filter((one) => tripMs - one.fromMs <= latchAfter.withinMs);
    const first = trips.at(-latchAfter.trips);
    if (first === undefined) continue;
    const untilMs = presses[nextPress] ?? facts.trace.endMs;
    const { fromMs: firstTripMs, lifeEndMs: cutMs } = first;
    locks.push({ fromMs: tripMs, firstTripMs, cutMs, episodeToMs: toMs, untilMs });
    trips = [];
  }
  return locks;
}

function unlockingPresses(
  facts: LockFacts,
  episodes: readonly Episode[],
  reading: 'least' | 'most',
): readonly number[] {
  const seen = reading === 'least' ? facts.acting : facts.judged;
  const reasons =
    reading === 'least' ? spansOf(episodes.flatMap((one) => one.reasons).map(laxSpan)) : facts.strict;
  // A button that is down when the controller begins to see is not seen being pressed.
  return facts.resetPresses.filter((atMs) => isInside(seen, atMs) && spanAt(reasons, atMs) === undefined);
}
