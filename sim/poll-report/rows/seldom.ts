/** Who is asked too seldom, or no longer. */
import { formatDuration } from '../../../src/units/index.ts';
import { unreadLimitMs } from '../planned.ts';
import { type Finding, finding, type Seen, type SeenUnit, TIMES_MIN, unitsOf } from './seen.ts';
import { capital, nameOf, timesText } from './words.ts';

/** Longer without a request than the rig allows, be it once, and not for waiting for somebody else. */
export function tooSlow(seen: Seen): readonly Finding[] {
  const { respondWithinMs } = seen.rig.policy;
  return mattering(seen).flatMap((one) => {
    const { unit, limitMs } = one;
    const gapMs = unit.gaps.ownMs;
    if (gapMs <= limitMs || isLeft(one)) return [];
    const late =
      gapMs > respondWithinMs
        ? ` Whoever learns of gas that late cannot be in mitigation within ${formatDuration(respondWithinMs)} of the report.`
        : '';
    const { interval } = unit;
    const isKnown = interval !== null && interval.count >= TIMES_MIN;
    const every = isKnown ? `, ${formatDuration(interval.meanMs)} on average` : '';
    return [
      finding(
        one,
        `${capital(nameOf(one))} went ${formatDuration(gapMs)} without being asked${every}; the rig allows ` +
          `${formatDuration(limitMs)}.${late} Poll it more often: shorten the cycle, ask for fewer registers, or share the ` +
          'sensors out over two lines.',
        unit.gaps.lateAtMs,
      ),
    ];
  });
}

/** Asked before, by a survey perhaps, and not since, while others on its line are. */
export function noLongerAsked(seen: Seen): readonly Finding[] {
  return mattering(seen)
    .filter(isLeft)
    .map((one) => {
      const { unit, planned } = one;
      const isFieldIo = planned?.kind === 'fieldIo';
      const what = isFieldIo ? 'has not had its inputs read' : 'has not been asked';
      const before = isFieldIo ? '' : `, and ${timesText(unit.requests)} before`;
      return finding(
        one,
        `${capital(nameOf(one))} ${what} for ${formatDuration(unit.gaps.openMs)}, while others on the line were` +
          `${before}: add it to what the controller polls, or see why it was given up.`,
      );
    });
}

interface Mattering extends SeenUnit {
  readonly limitMs: number;
}

/** Units of which somebody must hear in time. */
function mattering(seen: Seen): readonly Mattering[] {
  const limitMs = unreadLimitMs(seen.rig);
  const hasContacts = seen.rig.sensors.some(({ kind }) => kind === 'contact');
  return unitsOf(seen)
    .filter(({ planned }) => planned !== undefined && (planned.kind === 'sensor' || hasContacts))
    .map((one) => ({ ...one, limitMs }));
}

/** So many times its longest gap before: not slow any more, but left out. */
const LEFT_AFTER = 2;

function isLeft({ unit: { gaps, requests }, limitMs }: Mattering): boolean {
  const { openMs, closedMs } = gaps;
  const wasPolled = requests >= TIMES_MIN || closedMs > limitMs;
  return openMs > (wasPolled ? LEFT_AFTER * Math.max(limitMs, closedMs) : limitMs);
}
