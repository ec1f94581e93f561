/**
 * resume: where a call stands, every sensor is well, airflow is not missing and nothing is locked, all
 * without a break, something serves the call within `hold` + `resumeWithin`.
 *
 * The time without service is counted inside one unbroken stretch of those conditions, which a power-up
 * breaks too. One that another condition ended is decided only once it had lasted as long as the limit; what
 * is served from the very moment on at which the conditions are met has waited for nothing.
 */
import { type Case, type Definition, lacksNothing } from './definition.ts';
import type { Ground } from './ground.ts';
import { heldByWatchdog } from './outputs.ts';
import { intersectAll, lengthMs, minus, type Span, within } from './spans.ts';
import { against, clock, length } from './text.ts';

export const resume: Definition = {
  lacks: lacksNothing,
  cases: (ground) => mayServe(ground).flatMap((stretch) => casesOf(stretch, ground)),
  exercisedWhen: 'It would take a call that stands, with every sensor well, until it is served.',
  countedFrom:
    'the first moment of an unbroken stretch: a call, every sensor well, airflow not missing, no lock-out',
  limit: 'a compressor or heat on within hold and resumeWithin',
};

function mayServe(ground: Ground): readonly Span[] {
  const well = ground.told.map((one) => one.well);
  const free = minus(minus(ground.judged, ground.airflowMissing), ground.lockedMost);
  return intersectAll([free, ground.call, ...well]);
}

function casesOf(stretch: Span, ground: Ground): readonly Case[] {
  const limitMs = ground.policy.holdMs + ground.policy.resumeWithinMs;
  const atOnce = ground.serving.filter(({ fromMs }) => fromMs === stretch.fromMs);
  const gaps = [
    ...atOnce.map(({ fromMs }) => ({ fromMs, toMs: fromMs })),
    ...minus([stretch], ground.serving),
  ];
  return gaps.flatMap((gap) => {
    const waitedMs = gap.toMs - gap.fromMs;
    const served = gap.toMs < stretch.toMs;
    if (!served && waitedMs < limitMs) return [];
    const marginMs = limitMs - waitedMs;
    return [
      {
        marginMs,
        atMs: gap.toMs,
        sensor: null,
        because: () => [
          `From ${clock(gap.fromMs)} on a call stood, every sensor was well and airflow was not missing.`,
          served
            ? `The call was served from ${clock(gap.toMs)} on, after ${length(waitedMs, limitMs)}.`
            : `The call was not served before ${clock(gap.toMs)}, for ${length(waitedMs, limitMs)}.`,
          ...heldMeanwhile(gap, ground),
          against(limitMs, 'hold and resumeWithin of the rig', marginMs),
        ],
      },
    ];
  });
}

/** What kept the call from being served is named where nobody but the watchdog decided anything. */
function heldMeanwhile(gap: Span, ground: Ground): readonly string[] {
  const heldMs = lengthMs(within(gap, heldByWatchdog(ground)));
  return heldMs > 0 ? [`The field I/O’s watchdog held the outputs for ${length(heldMs)} of that time.`] : [];
}
