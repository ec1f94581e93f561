/**
 * short-cycle: each compressor's commanded off time is at least `compressorMinOff`.
 *
 * An off time counts where judged time holds all of it, its beginning too: what a power cut switched off, or
 * the watchdog over a lost request, was not the controller's doing. What else the watchdog dropped was:
 * writes that come too rarely cycle a real compressor. One that the drill ended is decided once it was long
 * enough.
 */
import { type Case, type Definition, lacksNothing } from './definition.ts';
import type { Ground } from './ground.ts';
import { droppedAt } from './outputs.ts';
import { type Span, type Spans, spanAt, within } from './spans.ts';
import { against, clock, length } from './text.ts';

export const shortCycle: Definition = {
  lacks: lacksNothing,
  cases: (ground) =>
    [...ground.compressors].flatMap(([circuit, runs]) =>
      offTimes(runs, ground).flatMap((off) => caseOf(circuit, off, ground)),
    ),
  exercisedWhen:
    'It would take a compressor that is switched off, and a call before compressorMinOff has passed.',
  countedFrom: 'the moment at which the compressor is switched off',
  limit: 'off for at least compressorMinOff',
};

interface Off extends Span {
  /** Switched on again, and not only seen to the end. */
  readonly ended: boolean;
}

function offTimes(runs: Spans, ground: Ground): readonly Off[] {
  return runs.flatMap(({ toMs: fromMs }, index) => {
    const stretch = spanAt(ground.judged, fromMs);
    if (stretch === undefined || stretch.fromMs >= fromMs) return [];
    if (spanAt(ground.commandsLost, fromMs) !== undefined) return [];
    const onMs = runs[index + 1]?.fromMs ?? Infinity;
    return [{ fromMs, toMs: Math.min(onMs, stretch.toMs), ended: onMs < stretch.toMs }];
  });
}

function caseOf(circuit: string, off: Off, ground: Ground): readonly Case[] {
  const { compressorMinOffMs } = ground.policy;
  const offMs = off.toMs - off.fromMs;
  const marginMs = offMs - compressorMinOffMs;
  const waiting = { fromMs: off.fromMs, toMs: Math.min(off.toMs, off.fromMs + compressorMinOffMs) };
  const called = within(waiting, ground.call).length > 0;
  if (marginMs < 0 ? !off.ended : !called) return [];
  return [
    {
      marginMs,
      atMs: off.toMs,
      sensor: null,
      because: () => [
        `Compressor ${circuit} was switched off at ${clock(off.fromMs)} and ` +
          `${off.ended ? 'on again' : 'was still off'} at ${clock(off.toMs)}, ${length(offMs, compressorMinOffMs)} later.`,
        ...droppedAt(off.fromMs, ground),
        against(compressorMinOffMs, 'compressorMinOff of the rig', marginMs),
      ],
    },
  ];
}
