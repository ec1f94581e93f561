/**
 * power-cut: what mitigation and lock-out demand is not shortened by a cut of the controller's power
 * inside them, its own or the whole rig's.
 *
 * After the cut this rule judges in place of stay-off, recheck, hold and latch. From `respondWithin` after
 * a power-up, and after any other gap in judged time, mitigation must stand until the hold has passed
 * since the last reason, and a locked rig must be stopped until its reset. What the controller could not
 * know is counted from its power-up: a reason open at the cut ends no earlier.
 */
import { type Case, type Definition, lacksNothing, lapseIn } from './definition.ts';
import type { Ground } from './ground.ts';
import { stopDueMs } from './latch.ts';
import { type Span, type Spans, within } from './spans.ts';
import { clock, length } from './text.ts';

export const powerCut: Definition = {
  lacks: lacksNothing,
  cases: (ground) => [...episodeCases(ground), ...lockCases(ground)],
  exercisedWhen: 'It would take a cut of the controller’s power inside a mitigation or a lock-out.',
  countedFrom:
    'respondWithin after the controller’s power-up; a reason open at the cut ends no earlier than that power-up',
  limit: 'mitigation until the hold has passed since the last reason; a locked rig stopped until its reset',
};

function episodeCases(ground: Ground): readonly Case[] {
  return ground.episodes.flatMap(({ cutMs, toMs, lastEndMs, first }) =>
    cutMs === null
      ? []
      : windowsAfter({ fromMs: cutMs, toMs }, ground).map((window) =>
          lastingCase(window, 'Mitigation', ground.mitigation, first.sensor, [
            `${first.said}; the controller lost its power at ${clock(cutMs)}, in mitigation.`,
            `The last reason ended at ${clock(lastEndMs)}, the hold at ${clock(toMs)}.`,
          ]),
        ),
  );
}

function lockCases(ground: Ground): readonly Case[] {
  return ground.locksLeast.flatMap((lock) => {
    // Trips before a cut count after it: whoever forgot them has lost the lock-out by the cut.
    const { cutMs } = lock;
    const dueMs = stopDueMs(lock, ground);
    const windows = windowsAfter({ fromMs: cutMs, toMs: lock.untilMs }, ground);
    return within({ fromMs: dueMs, toMs: lock.untilMs }, windows).map((window) =>
      lastingCase(window, 'The lock-out', ground.stopped, null, [
        `A lock-out began at ${clock(lock.fromMs)}, its first trip at ${clock(lock.firstTripMs)}; ` +
          `the controller lost its power at ${clock(cutMs)}.`,
      ]),
    );
  });
}

/** Judged time of a span, each stretch from `respondWithin` after its beginning on. */
function windowsAfter(span: Span, ground: Ground): Spans {
  const { respondWithinMs } = ground.policy;
  return within(span, ground.judged).flatMap(({ fromMs, toMs }) =>
    toMs > fromMs + respondWithinMs ? [{ fromMs: fromMs + respondWithinMs, toMs }] : [],
  );
}

function lastingCase(
  window: Span,
  state: string,
  good: Spans,
  sensor: string | null,
  before: readonly string[],
): Case {
  const { lapseMs, fromMs } = lapseIn(window, good);
  return {
    marginMs: -lapseMs,
    atMs: fromMs,
    sensor,
    because: () => [
      ...before,
      lapseMs > 0
        ? `${state} was missing from ${clock(fromMs)} on, for ${length(lapseMs)} before ${clock(window.toMs)}.`
        : `${state} stood from ${clock(window.fromMs)} to ${clock(window.toMs)}.`,
    ],
  };
}
