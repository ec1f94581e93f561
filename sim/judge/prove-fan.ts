/**
 * prove-fan: fan commanded and no airflow for `fanProofWithin`: stopped within `respondWithin` more, until
 * airflow.
 *
 * The duty ends with airflow, not with the fan command: whoever gives up and tries again has nothing
 * proven.
 */
import { exactDuration } from '../../src/units/index.ts';
import { type Case, type Definition, lacksNothing, settlingIn } from './definition.ts';
import type { Ground } from './ground.ts';
import { intersect, minus, type Span, within } from './spans.ts';
import { against, clock, length } from './text.ts';

export const proveFan: Definition = {
  lacks: lacksNothing,
  cases: (ground) => dutiesIn(ground).flatMap((duty) => caseOf(duty, ground)),
  exercisedWhen: 'It would take a fan that is commanded without airflow, while a call stands.',
  countedFrom: 'fanProofWithin of a fan that is commanded without airflow',
  limit: 'compressors and heat off within respondWithin, and until airflow comes',
};

/** From when airflow was missing until it came, or judged time ended; a second attempt is the same duty. */
function dutiesIn(ground: Ground): readonly Span[] {
  const { startMs: fromMs, endMs: toMs } = ground.trace;
  const still = intersect(minus([{ fromMs, toMs }], ground.airflow), ground.judged);
  return still.flatMap((span) =>
    within(span, ground.airflowMissing)
      .slice(0, 1)
      .map((missing) => ({ fromMs: missing.fromMs, toMs: span.toMs })),
  );
}

function caseOf(duty: Span, ground: Ground): readonly Case[] {
  const { respondWithinMs, fanProofWithinMs } = ground.policy;
  const settling = settlingIn(duty, respondWithinMs, ground.stopped);
  if (settling === null) return [];
  const { marginMs, cameMs, lapseFromMs } = settling;
  if (marginMs >= 0 && within(duty, ground.call).length === 0) return [];
  return [
    {
      marginMs,
      atMs: cameMs ?? lapseFromMs,
      sensor: null,
      because: () => [
        `The fan was commanded without airflow for ${exactDuration(fanProofWithinMs)} (fanProofWithin) ` +
          `by ${clock(duty.fromMs)}; no airflow before ${clock(duty.toMs)}.`,
        cameMs === null
          ? `A compressor or heat was on at ${clock(lapseFromMs)}, for ${length(-marginMs)} too long.`
          : `Compressors and heat were off from ${clock(cameMs)} on.`,
        against(respondWithinMs, 'respondWithin of the rig', marginMs),
      ],
    },
  ];
}
