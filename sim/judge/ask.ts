/**
 * ask: the gap between requests to each sensor is at most `askWithin`, from power-up on.
 *
 * The time before the first request and after the last count too: who stops asking is not excused by the
 * end.
 */

import { type Case, type Definition, lacksNothing } from './definition.ts';
import type { Ground } from './ground.ts';
import { itemsIn, type Span } from './spans.ts';
import { against, clock, length } from './text.ts';
import type { SensorTrace } from './trace.ts';

export const ask: Definition = {
  lacks: (ground) =>
    ground.trace.asksItself ? 'The bench asks the sensors in the controller’s place.' : lacksNothing(),
  cases: (ground) => ground.trace.sensors.flatMap((sensor) => gapsOf(sensor, ground)),
  exercisedWhen: 'It would take a moment at which the rig and the controller have power.',
  countedFrom: 'the power-up, and each request to the sensor',
  limit: 'at most askWithin until the next request, or the end of the drill',
};

/** The widest gap of each stretch of judged time. */
function gapsOf(sensor: SensorTrace, ground: Ground): readonly Case[] {
  return ground.judged.map((stretch) => {
    let widest: Span = { fromMs: stretch.fromMs, toMs: stretch.fromMs };
    let lastMs = stretch.fromMs;
    for (const atMs of [...itemsIn(sensor.requests, stretch).map((one) => one.atMs), stretch.toMs]) {
      if (atMs - lastMs > widest.toMs - widest.fromMs) widest = { fromMs: lastMs, toMs: atMs };
      lastMs = atMs;
    }
    return gapCase(sensor.id, widest, ground);
  });
}

function gapCase(sensor: string, gap: Span, ground: Ground): Case {
  const { askWithinMs } = ground.policy;
  const gapMs = gap.toMs - gap.fromMs;
  const marginMs = askWithinMs - gapMs;
  return {
    marginMs,
    atMs: gap.fromMs,
    sensor,
    because: () => [
      `The longest time without a request for ${sensor} was ${length(gapMs, askWithinMs)}, ` +
        `from ${clock(gap.fromMs)} to ${clock(gap.toMs)}.`,
      against(askWithinMs, 'askWithin of the rig', marginMs),
    ],
  };
}
