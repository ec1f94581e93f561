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
import { lackingAt, runningAt } from './outputs.ts';
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
          lastingCase(window, MITIGATION, ground, first.sensor, [
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
      lastingCase(window, LOCK_OUT, ground, null, [
        `A lock-out began at ${clock(lock.fromMs)}, its first trip at ${clock(lock.firstTripMs)}; ` +
          `the controller lost its power at ${clock(cutMs)}.`,
      ]),
    );
  });
}

/** Why nothing is said of the time right after the cut. */
function countedFrom({ fromMs }: Span, { lives, policy }: Ground): string {
  const backMs = Math.max(...lives.map((life) => life.fromMs).filter((atMs) => atMs <= fromMs));
  return (
    `Power was back at ${clock(backMs)}; what follows is counted from ${clock(fromMs)} on, ` +
    `no sooner than respondWithin (${length(policy.respondWithinMs)}) later.`
  );
}

/** Judged time of a span, each stretch from `respondWithin` after its beginning on. */
function windowsAfter(span: Span, ground: Ground): Spans {
  const { respondWithinMs } = ground.policy;
  return within(span, ground.judged).flatMap(({ fromMs, toMs }) =>
    toMs > fromMs + respondWithinMs ? [{ fromMs: fromMs + respondWithinMs, toMs }] : [],
  );
}

/** A state that must last, and how a sentence names it and what was against it. */
interface Lasting {
  readonly name: string;
  readonly in: (ground: Ground) => Spans;
  readonly against: (atMs: number, ground: Ground) => string;
}

const MITIGATION: Lasting = { name: 'Mitigation', in: (ground) => ground.mitigation, against: lackingAt };
const LOCK_OUT: Lasting = { name: 'The lock-out', in: (ground) => ground.stopped, against: runningAt };

function lastingCase(
  window: Span,
  state: Lasting,
  ground: Ground,
  sensor: string | null,
  before: readonly string[],
): Case {
  const { lapseMs, fromMs } = lapseIn(window, state.in(ground));
  return {
    marginMs: -lapseMs,
    atMs: fromMs,
    sensor,
    because: () => [
      ...before,
      countedFrom(window, ground),
      lapseMs > 0
        ? `${state.name} was missing from ${clock(fromMs)} on${state.against(fromMs, ground)}, ` +
          `for ${length(lapseMs)} before ${clock(window.toMs)}.`
        : `${state.name} stood from ${clock(window.fromMs)} to ${clock(window.toMs)}.`,
    ],
  };
}
