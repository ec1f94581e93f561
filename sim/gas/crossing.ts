/**
 * When the gas in a zone crosses a level: the moment is found, to the millisecond, not sampled.
 *
 * "At the level" counts as above, as "gas at or above setpoint" does for a sensor. An answer holds while
 * the air keeps its inputs; ask again on the new course when one changes.
 */
import { type Ms, ms } from '../../src/units/index.ts';
import { type AirCourse, pieceAt, stateAt } from './air.ts';
import type { Zone } from './flows.ts';
import { airShape, numberOf } from './mode.ts';
import type { Watch } from './reach.ts';
import { sizeOf } from './step.ts';
import { firstOutside } from './stretch.ts';

export type Direction = 'up' | 'down';

/** The moments from..to in which to look, whole ms of the course, both ends included. */
export interface Window {
  readonly from: Ms;
  readonly to: Ms;
}

/**
 * The first moment after `from` at which the zone comes from below the level to it (up), or from it to
 * below (down); undefined where that does not happen by `to`.
 */
export function firstCrossing(
  course: AirCourse,
  zone: Zone,
  levelKgPerM3: number,
  direction: Direction,
  { from, to }: Window,
): Ms | undefined {
  const below: Stay = { lowest: levelKgPerM3, highest: Infinity, ends: (kgPerM3) => kgPerM3 < levelKgPerM3 };
  const above: Stay = { lowest: 0, highest: levelKgPerM3, ends: (kgPerM3) => kgPerM3 >= levelKgPerM3 };
  const [origin, target] = direction === 'up' ? [below, above] : [above, below];
  const ready = firstEnd(course, zone, origin, { from, to });
  return ready === undefined ? undefined : firstEnd(course, zone, target, { from: ready, to });
}

/** In kg/m3, and whether a concentration is no longer inside: it is not while it is between the two. */
interface Stay {
  readonly lowest: number;
  readonly highest: number;
  readonly ends: (kgPerM3: number) => boolean;
}

/** The first moment from `from` on at which the stay ends. RangeError: `from` is no moment of the course. */
function firstEnd(
  course: AirCourse,
  zone: Zone,
  { lowest, highest, ends }: Stay,
  { from, to }: Window,
): Ms | undefined {
  for (const moment of [from, to]) pieceAt(course, moment);
  const { pieces, model } = course;
  const number = numberOf(model.zones, zone);
  const size = sizeOf(airShape(model.zones));
  const weights = Array.from({ length: size }, (_, index) => (index === number ? 1 : 0));
  const outside = (kgPerM3: number): boolean => ends(Math.min(kgPerM3, model.plan.vapourKgPerM3));
  const watch: Watch = { weights, lowest, highest, outside };
  for (const [index, { mode, firstMs }] of pieces.entries()) {
    const nextMs = pieces[index + 1]?.firstMs ?? Number.POSITIVE_INFINITY;
    const startMs = ms(Math.max(from, firstMs));
    const endMs = Math.min(to, nextMs - 1);
    if (endMs < startMs) continue;
    const stretch = { mode, start: stateAt(course, startMs), spanMs: endMs - startMs };
    const found = firstOutside(stretch, [watch]);
    if (found !== undefined) return ms(startMs + found.offsetMs);
  }
  return undefined;
}
