/** Where things stand in the chart: time across, gas up, lanes one above the other, bands below. */

/** Names of lanes and bands stand here, left of everything that time moves. */
export const GUTTER = 112;
/** So that the last label and flag have room: half a label like "0:12:00", and air. */
export const HALF_LABEL = 24;
export const RIGHT = HALF_LABEL + 2;
const LANE_HEIGHT = 56;
/** Many sensors share the height that few have to themselves. */
const LANE_HEIGHT_MIN = 40;
const LANES_AT_FULL_HEIGHT = 4;
const LANE_GAP = 15;
const TOP = 6;
const BAND_HEIGHT = 14;
const AXIS_HEIGHT = 20;

/** Lengths in px. */
export interface Layout {
  readonly plotWidth: number;
  readonly height: number;
  /** Of what stands above the lanes. */
  readonly marksHeight: number;
  readonly laneHeight: number;
  readonly laneTops: readonly number[];
  readonly bandTops: readonly number[];
  readonly axisTop: number;
  readonly fromMs: number;
  readonly toMs: number;
  /** Time that one px takes. */
  readonly columnMs: number;
  readonly topPercentLfl: number;
  readonly x: (atMs: number) => number;
  /** Height above a lane's foot. */
  readonly y: (percentLfl: number) => number;
}

export interface LayoutInput {
  readonly plotWidth: number;
  readonly marksHeight?: number;
  readonly lanes: number;
  readonly bands: number;
  readonly fromMs: number;
  readonly toMs: number;
  /** Where x is 0; the beginning, if not told otherwise. */
  readonly originMs?: number;
  readonly topPercentLfl: number;
}

export function layoutOf(input: LayoutInput): Layout {
  const { marksHeight = 0, lanes, bands, fromMs, toMs, originMs = fromMs, topPercentLfl } = input;
  const plotWidth = Math.max(1, input.plotWidth);
  const lanesTop = marksHeight + TOP;
  const laneHeight = lanes <= LANES_AT_FULL_HEIGHT ? LANE_HEIGHT : LANE_HEIGHT_MIN;
  const laneTops = Array.from({ length: lanes }, (_, lane) => lanesTop + lane * (laneHeight + LANE_GAP));
  const bandsTop = lanesTop + lanes * (laneHeight + LANE_GAP);
  const bandTops = Array.from({ length: bands }, (_, band) => bandsTop + band * BAND_HEIGHT);
  const axisTop = bandsTop + bands * BAND_HEIGHT + 2;
  const columnMs = (toMs - fromMs) / plotWidth;
  return {
    plotWidth,
    height: axisTop + AXIS_HEIGHT,
    marksHeight,
    laneHeight,
    laneTops,
    bandTops,
    axisTop,
    fromMs,
    toMs,
    columnMs,
    topPercentLfl,
    x: (atMs) => rounded((atMs - originMs) / columnMs),
    y: (percentLfl) => rounded((percentLfl / topPercentLfl) * laneHeight),
  };
}

/** A tenth of a px is finer than anything shows, and keeps paths short. */
export function rounded(px: number): number {
  return Math.round(px * 10) / 10;
}

const SECOND_MS = 1000;
const MINUTE_MS = 60 * SECOND_MS;
const TICKS_MS = [
  ...[5, 10, 15, 30].map((seconds) => seconds * SECOND_MS),
  ...[1, 2, 5, 10, 15, 20, 30, 60, 120, 240, 480].map((minutes) => minutes * MINUTE_MS),
];
const DAY_MS = 1440 * MINUTE_MS;
/** A label like "0:12:00" with air on both sides. */
const TICK_WIDTH = 72;

/** Whole seconds, minutes or hours of bench time, as many as have room. */
export function timeTicks(layout: Pick<Layout, 'fromMs' | 'toMs' | 'columnMs'>): readonly number[] {
  const { fromMs, toMs, columnMs } = layout;
  const step = TICKS_MS.find((one) => one >= TICK_WIDTH * columnMs) ?? DAY_MS;
  const first = Math.max(0, Math.ceil(fromMs / step)) * step;
  const ticks: number[] = [];
  for (let atMs = first; atMs <= toMs; atMs += step) ticks.push(atMs);
  return ticks;
}

/** Room above the highest curve; at the least the setpoint stands in the middle. */
const TOP_SETPOINTS_MIN = 2;
const HEADROOM = 1.1;

/** Ends of the scale, so that it does not move with every point: each a quarter more than the one before. */
export function topFor(highest: number, setpoint: number): number {
  let top = setpoint * TOP_SETPOINTS_MIN;
  while (top < highest * HEADROOM) top *= 1.25;
  return top;
}
