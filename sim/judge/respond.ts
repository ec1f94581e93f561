/**
 * respond, silent, self-failed, implausible, identity: mitigation is reached within `respondWithin` of the
 * onset of a reason, each sensor for itself, unless mitigation stood already.
 *
 * One definition for five rules, told apart by the kind of reason. A controller deaf to one sensor is found
 * by that sensor's reason even where others would have been heard.
 */
import {
  type Case,
  type Definition,
  type Demand,
  lacksModbusSensors,
  lacksNothing,
  reachedCase,
} from './definition.ts';
import type { Ground } from './ground.ts';
import { type Reason, type ReasonKind, strictSpan } from './reason.ts';
import { within } from './spans.ts';

export const respond = responseTo(
  ['gas'],
  'It would take a sensor that reports gas for respondWithin.',
  'the answer, or the contact, that tells gas',
  lacksNothing,
);
export const silent = responseTo(
  ['silent'],
  'It would take a sensor that is asked and stays silent for silentAfter and respondWithin.',
  'silentAfter from the first request without an answer, or without a good one',
  lacksNothing,
);
export const selfFailed = responseTo(
  ['failed'],
  'It would take a sensor that reports its failure for respondWithin.',
  'the answer whose state is failed',
  lacksModbusSensors,
);
export const implausible = responseTo(
  ['contradiction', 'frozen', 'invalid'],
  'It would take a sensor that says what cannot be for respondWithin.',
  'the answer that cannot be; for a counter at rest silentAfter from its last move',
  lacksModbusSensors,
);
export const identity = responseTo(
  ['stranger'],
  'It would take a sensor that shows another serial than the planned one for respondWithin.',
  'the answer with another serial',
  (ground) =>
    ground.trace.sensors.some((sensor) => sensor.serial !== null)
      ? null
      : 'The rig plans no serial for any sensor.',
);

function responseTo(
  kinds: readonly ReasonKind[],
  exercisedWhen: string,
  countedFrom: string,
  lacks: Definition['lacks'],
): Definition {
  return {
    lacks,
    cases: (ground) =>
      ground.reasons.filter((reason) => kinds.includes(reason.kind)).flatMap((one) => casesOf(one, ground)),
    exercisedWhen,
    countedFrom,
    limit: 'mitigation within respondWithin, unless it stands already',
  };
}

/** One case for each stretch of judged time that the reason, strictly ended, lasted into. */
function casesOf(reason: Reason, ground: Ground): readonly Case[] {
  const demand: Demand = {
    sensor: reason.sensor,
    said: reason.said,
    limitMs: ground.policy.respondWithinMs,
    source: 'respondWithin of the rig',
  };
  return within(strictSpan(reason), ground.judged).flatMap((piece) => reachedCase(piece, demand, ground));
}
