/**
 * no-nuisance: the last output that serves a standing call goes off only where, in the `silentAfter` +
 * `respondWithin` before, there was a reason or the beginning of one, or a lock-out.
 *
 * Readings where the words leave room:
 * - The margin is the limit minus the time since the last such thing; a drill in which nobody stopped a
 *   call has the whole limit.
 * - The end of a gap in judged time excuses as a reason does: after a power-up, a fire or a silent field
 *   I/O a controller may well begin anew. So does the watchdog, where a request was lost.
 * - The end of a call excuses too: what goes off with it may have served that one, not the one that stands.
 * - A call that ends, or begins, at the moment of the stop is not a standing one.
 */
import { exactDuration } from '../../src/units/index.ts';
import { type Case, type Definition, lacksNothing } from './definition.ts';
import type { Ground } from './ground.ts';
import { droppedAt } from './outputs.ts';
import { intersectAll, isInside, lastMoment, lastUntil, minus, type Spans, spanAt, union } from './spans.ts';
import { against, clock, length } from './text.ts';

/** A call served for this long without a break puts the rule to the test. */
const SERVED_MS = 300_000;

export const noNuisance: Definition = {
  lacks: lacksNothing,
  cases: (ground) => {
    const excuses = excusesIn(ground);
    const cases = stopsIn(ground).map((stopMs) => stopCase(stopMs, excuses, ground));
    const served = intersectAll([ground.serving, ground.call, ground.judged]);
    if (!wasTested(served, ground)) return cases.filter((one) => one.marginMs < 0);
    return cases.length > 0 ? cases : [neverStopped(served, ground)];
  },
  exercisedWhen: `It would take a call served for ${exactDuration(SERVED_MS)}, or a little gas reported while one is.`,
  countedFrom:
    'the last reason or beginning of one: a request unanswered, a number at or above clearBelow, no airflow; ' +
    'or the end of a call',
  limit: 'the last output that serves a standing call goes off at most silentAfter and respondWithin later',
};

function stopsIn(ground: Ground): readonly number[] {
  return ground.serving
    .map((span) => span.toMs)
    .filter((atMs) => isInside(ground.judged, atMs) && isInside(ground.call, atMs));
}

function wasTested(served: Spans, ground: Ground): boolean {
  if (served.some((span) => span.toMs - span.fromMs >= SERVED_MS)) return true;
  return ground.told.some(({ whiffs }) => whiffs.some((atMs) => spanAt(served, atMs) !== undefined));
}

/** When there was a reason, a lock-out, no airflow, or no judged time. */
function excusesIn(ground: Ground): Spans {
  const { startMs: fromMs, endMs: toMs } = ground.trace;
  const lacking = [ground.airflow, ground.judged].map((spans) => minus([{ fromMs, toMs }], spans));
  return union(ground.strict, ground.lockedMost, ground.commandsLost, ...lacking);
}

function stopCase(stopMs: number, excuses: Spans, ground: Ground): Case {
  const limitMs = ground.policy.silentAfterMs + ground.policy.respondWithinMs;
  const callsEnd = [...ground.calls.values()].flat().map(({ toMs }) => toMs);
  const excuseMs = Math.max(
    lastUntil(excuses, stopMs) ?? ground.trace.startMs,
    ...callsEnd.filter((endMs) => endMs <= stopMs),
    ...ground.told.map(({ signs }) => lastMoment(signs, stopMs) ?? -Infinity),
  );
  const marginMs = limitMs - (stopMs - excuseMs);
  return {
    marginMs,
    atMs: stopMs,
    sensor: null,
    because: () => [
      `The last output that served a standing call went off at ${clock(stopMs)}.`,
      ...droppedAt(stopMs, ground),
      marginMs < 0
        ? `There had been no reason, and no beginning of one, since ${clock(excuseMs)}.`
        : `The last reason or beginning of one was ${length(stopMs - excuseMs, limitMs)} before.`,
      against(limitMs, 'silentAfter and respondWithin of the rig', marginMs),
    ],
  };
}

function neverStopped(served: Spans, ground: Ground): Case {
  const toMs = Math.max(...served.map((span) => span.toMs));
  return {
    marginMs: ground.policy.silentAfterMs + ground.policy.respondWithinMs,
    atMs: toMs,
    sensor: null,
    because: () => [`A standing call was served until ${clock(toMs)}; nothing stopped it while it stood.`],
  };
}
