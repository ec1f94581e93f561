/** Where things stand in the chart: time across, gas up, lanes one above the other, bands below. */
import { type ScaleLinear, scaleLinear } from 'd3-scale';

export const GUTTER = 92;
const RIGHT = 10;
const LANE_HEIGHT = 56;
/** Many sensors share the height that few have to themselves. */
const LANE_HEIGHT_MIN = 40;
const LANES_AT_FULL_HEIGHT = 4;
const LANE_GAP = 15;
const TOP = 6;
const BAND_HEIGHT = 14;
const AXIS_HEIGHT = 20;

export interface Layout {
  readonly width: number;
  readonly height: number;
  /** Of what stands above the lanes. */
  readonly marksHeight: number;
  readonly laneHeight: number;
  readonly laneTops: readonly number[];
  readonly bandTops: readonly number[];
  readonly axisTop: number;
  readonly fromMs: number;
  readonly toMs: number;
  readonly x: ScaleLinear<number, number>;
  /** Height above a lane's foot. */
  readonly y: ScaleLinear<number, number>;
}

export interface LayoutInput {
  readonly width: number;
  readonly marksHeight?: number;
  readonly lanes: number;
  readonly bands: number;
  readonly fromMs: number;
  readonly toMs: number;
  readonly topPercentLfl: number;
}

export function layoutOf(input: LayoutInput): Layout {
  const { width, marksHeight = 0, lanes, bands, fromMs, toMs, topPercentLfl } = input;
  const lanesTop = marksHeight + TOP;
  const laneHeight = lanes <= LANES_AT_FULL_HEIGHT ? LANE_HEIGHT : LANE_HEIGHT_MIN;
  const laneTops = Array.from({ length: lanes }, (_, lane) => lanesTop + lane * (laneHeight + LANE_GAP));
  const bandsTop = lanesTop + lanes * (laneHeight + LANE_GAP);
  const bandTops = Array.from({ length: bands }, (_, band) => bandsTop + band * BAND_HEIGHT);
  const axisTop = bandsTop + bands * BAND_HEIGHT + 2;
  return {
    width,
    height: axisTop + AXIS_HEIGHT,
    marksHeight,
    laneHeight,
    laneTops,
    bandTops,
    axisTop,
    fromMs,
    toMs,
    x: scaleLinear()
      .domain([fromMs, toMs])
      .range([GUTTER, Math.max(GUTTER + 1, width - RIGHT)]),
    y: scaleLinear().domain([0, topPercentLfl]).range([0, laneHeight]),
  };
}

const MINUTE_MS = 60_000;
const TICK_MINUTES = [1, 2, 5, 10, 15, 20, 30, 60, 120, 240, 480];
const DAY_MINUTES = 1440;
/** A label like "0:12:00" with air on both sides. */
const TICK_WIDTH = 72;

/** Whole minutes of bench time, as many as have room. */
export function timeTicks({
  fromMs,
  toMs,
  width,
}: Pick<Layout, 'fromMs' | 'toMs' | 'width'>): readonly number[] {
  const room = Math.max(1, Math.floor((width - GUTTER) / TICK_WIDTH));
  const minutes = (toMs - fromMs) / MINUTE_MS;
  const step = (TICK_MINUTES.find((one) => minutes / one <= room) ?? DAY_MINUTES) * MINUTE_MS;
  const first = Math.max(0, Math.ceil(fromMs / step)) * step;
  const ticks: number[] = [];
  for (let atMs = first; atMs <= toMs; atMs += step) ticks.push(atMs);
  return ticks;
}
