/**
 * When the gas in a zone crosses a level: the moment is found, to the millisecond, not sampled.
 *
 * "At the level" counts as above, as "gas at or above setpoint" does for a sensor. An answer holds while
 * the air keeps its inputs; ask again on the new course when one changes.
 */
import { type Ms, ms } from '../../src/units/index.ts';
import { type AirCourse, pieceAt, stateAt } from './air.ts';
import type { Zone } from './mode.ts';
import { firstOutside } from './stretch.ts';

/** kg/m3, both ends inside. */
export interface Band {
  readonly lowest: number;
  readonly highest: number;
}
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
  const below = (kgPerM3: number): boolean => kgPerM3 < levelKgPerM3;
  const above = (kgPerM3: number): boolean => kgPerM3 >= levelKgPerM3;
  const [origin, target] = direction === 'up' ? [below, above] : [above, below];
  const ready = firstWhere(course, zone, origin, { from, to });
  return ready === undefined ? undefined : firstWhere(course, zone, target, { from: ready, to });
}

/** The first moment from `from` on at which the zone is outside the band; `from` itself if it is so then. */
export function firstOutsideBand(
  course: AirCourse,
  zone: Zone,
  { lowest, highest }: Band,
  window: Window,
): Ms | undefined {
  return firstWhere(course, zone, (kgPerM3) => kgPerM3 < lowest || kgPerM3 > highest, window);
}

/**
 * The concentrations that are not so must form one interval. RangeError: `from` is no moment of the course.
 */
function firstWhere(
  course: AirCourse,
  zone: Zone,
  isSo: (kgPerM3: number) => boolean,
  { from, to }: Window,
): Ms | undefined {
  pieceAt(course, from);
  for (const moment of [from, to]) pieceAt(course, moment);
  const { pieces, inputs, model } = course;
  const shown = (kgPerM3: number): boolean => isSo(Math.min(kgPerM3, model.plan.vapourKgPerM3));
  for (const [index, { mode, firstMs }] of pieces.entries()) {
    const nextMs = pieces[index + 1]?.firstMs ?? Number.POSITIVE_INFINITY;
    const startMs = ms(Math.max(from, firstMs));
    const endMs = Math.min(to, nextMs - 1);
    if (endMs < startMs) continue;
    const start = stateAt(course, startMs);
    const stretch = { mode, releases: inputs, start, spanMs: endMs - startMs };
    const found = firstOutside(stretch, zone, shown);
    if (found !== undefined) return ms(startMs + found.offsetMs);
  }
  return undefined;
}
