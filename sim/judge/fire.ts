/**
 * fire: within 5 s of the fire signal fan, heat and compressors are off, and stay so while it stands.
 *
 * Judged while rig and controller have power and the field I/O answers: a controller that cannot see the
 * signal can do nothing about it, nor about the fan that the watchdog turns on over a lost request.
 */
import { type Case, type Definition, lacksNothing, settlingIn } from './definition.ts';
import { intersect, minus, type Span, union } from './spans.ts';
import { against, clock, length } from './text.ts';

/** Common practice, no source. */
const OFF_WITHIN_MS = 5_000;

export const fire: Definition = {
  lacks: lacksNothing,
  cases: (ground) => {
    const off = union(minus(ground.stopped, ground.fan), ground.commandsLost);
    return intersect(ground.fire, ground.acting).flatMap((span) => {
      const settling = settlingIn(span, OFF_WITHIN_MS, off);
      return settling === null ? [] : [caseOf(span, settling)];
    });
  },
  exercisedWhen: 'It would take a fire signal.',
  countedFrom: 'the fire signal',
  limit: `fan, heat and compressors off within ${length(OFF_WITHIN_MS)}, and while it stands`,
};

function caseOf(span: Span, settling: NonNullable<ReturnType<typeof settlingIn>>): Case {
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
      against(OFF_WITHIN_MS, 'a choice of this bench', marginMs),
    ],
  };
}
