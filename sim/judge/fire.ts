/**
 * fire: within 5 s of the fire signal fan, heat and compressors are off, and stay so while it stands.
 *
 * Judged while rig and controller have power and the field I/O answers: a controller that cannot see the
 * signal can do nothing about it, nor about the fan that the watchdog turns on over a lost request. For the
 * same reason the 5 s count only while the field I/O owes no answer: it tells of the signal, and takes the
 * commands, with the request after those that were lost.
 */
import { type Case, type Definition, lacksNothing, settlingIn } from './definition.ts';
import { intersect, minus, type Span, type Spans, union } from './spans.ts';
import { against, clock, length } from './text.ts';

/** Common practice, no source. */
const OFF_WITHIN_MS = 5_000;

export const fire: Definition = {
  lacks: lacksNothing,
  cases: (ground) => {
    const off = union(minus(ground.stopped, ground.fan), ground.commandsLost);
    return intersect(ground.fire, ground.acting).flatMap((span) => {
      const limitMs = limitFrom(span.fromMs, ground.owed);
      const settling = settlingIn(span, limitMs, off);
      return settling === null ? [] : [caseOf(span, limitMs, settling)];
    });
  },
  exercisedWhen: 'It would take a fire signal.',
  countedFrom: 'the fire signal',
  limit:
    `fan, heat and compressors off within ${length(OFF_WITHIN_MS)} in which the field I/O owes no answer, ` +
    'and while it stands',
};

/** How long it takes until the field I/O has owed no answer for as long as the limit. */
function limitFrom(fromMs: number, owed: Spans): number {
  let dueMs = fromMs + OFF_WITHIN_MS;
  for (const one of owed) {
    const sinceMs = Math.max(one.fromMs, fromMs);
    if (one.toMs > fromMs && sinceMs < dueMs) dueMs += one.toMs - sinceMs;
  }
  return dueMs - fromMs;
}

function caseOf(span: Span, limitMs: number, settling: NonNullable<ReturnType<typeof settlingIn>>): Case {
  const { marginMs, cameMs, lapseFromMs } = settling;
  return {
    marginMs,
    atMs: cameMs ?? lapseFromMs,
    sensor: null,
    because: () => [
      `The fire signal stood from ${clock(span.fromMs)} to ${clock(span.toMs)}.`,
      cameMs === null
        ? `Fan, heat or a compressor was on at ${clock(lapseFromMs)}, for ${length(-marginMs)} too long.`
        : `Fan, heat and compressors were off from ${clock(cameMs)} on.`,
      against(limitMs, sourceOf(limitMs), marginMs),
    ],
  };
}

function sourceOf(limitMs: number): string {
  const source = 'a choice of this bench';
  if (limitMs === OFF_WITHIN_MS) return source;
  const owed = length(limitMs - OFF_WITHIN_MS);
  return `${length(OFF_WITHIN_MS)}, ${source}, and ${owed} in which the field I/O owed an answer`;
}
