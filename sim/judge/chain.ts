/**
 * chain: mitigation is reached within the detector limit plus `respondWithin` of true gas reaching 25 %LFL
 * and staying, at a sensor without a fault of its own or of its wire, and not past its limits by its age.
 *
 * Only gas that came while the sensor was sound is counted: one that is mended, or powered up again, in
 * gas has its self-test before it.
 */
import { type Case, type Definition, type Demand, lacksNothing, reachedCase } from './definition.ts';
import type { Ground } from './ground.ts';
import { intersect, spanAt, whileIs, within } from './spans.ts';
import { clock } from './text.ts';
import type { SensorTrace } from './trace.ts';

/**
 * A detector answers to this in DETECTOR_LIMIT_MS at the latest: IEC 60335-2-40 Ed. 6 Annex LL, second
 * hand.
 */
export const DETECTED_PERCENT_LFL = 25;
export const DETECTOR_LIMIT_MS = 30_000;

export const chain: Definition = {
  lacks: lacksNothing,
  cases: (ground) => ground.trace.sensors.flatMap((sensor) => casesOf(sensor, ground)),
  exercisedWhen: `It would take gas of ${DETECTED_PERCENT_LFL} %LFL or more that stays at a sound sensor.`,
  countedFrom: `true gas of ${DETECTED_PERCENT_LFL} %LFL at a sensor that was sound when it came`,
  limit: `mitigation within ${DETECTOR_LIMIT_MS / 1000} s for the detector and respondWithin`,
};

function casesOf(sensor: SensorTrace, ground: Ground): readonly Case[] {
  const { endMs } = ground.trace;
  const gas = whileIs(sensor.gas, (percentLfl) => percentLfl >= DETECTED_PERCENT_LFL, endMs);
  const sound = whileIs(sensor.sound, (value) => value, endMs);
  return intersect(gas, sound)
    .filter((span) => spanAt(gas, span.fromMs)?.fromMs === span.fromMs)
    .flatMap((span) => within(span, ground.judged))
    .flatMap((piece) => {
      const demand: Demand = {
        sensor: sensor.id,
        said: `True gas at ${sensor.id} had reached ${DETECTED_PERCENT_LFL} %LFL by ${clock(piece.fromMs)}`,
        limitMs: DETECTOR_LIMIT_MS + ground.policy.respondWithinMs,
        source: `${DETECTOR_LIMIT_MS / 1000} s for the detector and respondWithin of the rig`,
      };
      return reachedCase(piece, demand, ground);
    });
}
