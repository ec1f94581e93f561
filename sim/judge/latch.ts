/**
 * latch: from `respondWithin` after the onset of the last of `trips` gas or contradiction episodes, stopped
 * until a service reset.
 *
 * Readings where the words leave room:
 * - A trip that was answered late is respond's: the lock-out counts from when the rig first stopped, at the
 *   latest from the end of that episode's hold.
 * - After a power cut since the first trip that counts, `power-cut` judges.
 */
import { type Case, type Definition, lacksNothing, lapseIn } from './definition.ts';
import type { Ground } from './ground.ts';
import type { Lock } from './locks.ts';
import { firstFrom, type Span, within } from './spans.ts';
import { clock, length } from './text.ts';

export const latch: Definition = {
  lacks: (ground) => (ground.policy.latchAfter === null ? 'The rig has no latchAfter.' : lacksNothing()),
  cases: (ground) => ground.locksLeast.flatMap((lock) => casesOf(lock, ground)),
  exercisedWhen:
    'It would take as many gas episodes as latchAfter says, and a call that stands after the last one’s hold.',
  countedFrom: 'respondWithin after the onset of the last of as many gas episodes as latchAfter says',
  limit: 'compressors and heat off until a press of the service reset at which no reason stands',
};

function casesOf(lock: Lock, ground: Ground): readonly Case[] {
  const fromMs = stopDueMs(lock, ground);
  const endMs = Math.min(lock.untilMs, lock.cutMs);
  return within({ fromMs, toMs: endMs }, ground.judged).flatMap((window) => caseOf(window, lock, ground));
}

/** From when on a locked rig must be stopped. */
export function stopDueMs(lock: Lock, ground: Ground): number {
  const dueMs = lock.fromMs + ground.policy.respondWithinMs;
  const stoppedMs = firstFrom(ground.stopped, dueMs) ?? Infinity;
  return Math.min(stoppedMs, Math.max(dueMs, lock.episodeToMs));
}

function caseOf(window: Span, lock: Lock, ground: Ground): readonly Case[] {
  const { lapseMs, fromMs } = lapseIn(window, ground.stopped);
  const afterHold = { fromMs: Math.max(window.fromMs, lock.episodeToMs), toMs: window.toMs };
  const called = within(afterHold, ground.call).length > 0;
  if (lapseMs === 0 && !called) return [];
  return [
    {
      marginMs: -lapseMs,
      atMs: fromMs,
      sensor: null,
      because: () => [
        `The last of the gas episodes that locked the rig began at ${clock(lock.fromMs)}, ` +
          `the first at ${clock(lock.firstTripMs)}; no service reset had unlocked it before ${clock(window.toMs)}.`,
        lapseMs > 0
          ? `A compressor or heat was on from ${clock(fromMs)}, for ${length(lapseMs)} in all.`
          : `Compressors and heat stayed off from ${clock(window.fromMs)} to ${clock(window.toMs)}.`,
      ],
    },
  ];
}
