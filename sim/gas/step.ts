/**
 * A step of the air through time: the rows of one transition matrix that matter, by name.
 *
 * Five quantities move together: the gas in the cabinet and in the room (kg/m3), a rider that takes part
 * without acting back, and the releases into cabinet and room (kg/s), which are constant while a step
 * lasts. The rider is what somebody wants to know beside the air: the kilograms that went outdoors, or the
 * response of one sensor. Because the releases are part of the matrix, one step serves every release.
 */
import { at, expm } from './expm.ts';

/** Owned and changed in place by whoever made it. */
export interface AirState {
  /** kg/m3. */
  cabinet: number;
  /** kg/m3. */
  room: number;
  /** kg gone outdoors (air), or a sensor's response in kg/m3 (lag). */
  rider: number;
}

/** What is released while a step lasts. */
export interface Releases {
  readonly cabinetKgPerS: number;
  readonly roomKgPerS: number;
}

/**
 * What each quantity after dtMs owes to each before: first letter after, second before; c cabinet, r room,
 * y rider, p release into the cabinet, q release into the room.
 */
export interface Step {
  readonly dtMs: number;
  readonly cc: number;
  readonly cr: number;
  readonly cp: number;
  readonly cq: number;
  readonly rc: number;
  readonly rr: number;
  readonly rp: number;
  readonly rq: number;
  readonly yc: number;
  readonly yr: number;
  readonly yy: number;
  readonly yp: number;
  readonly yq: number;
}

/** One row of a generator, per second: by cabinet, room, rider, cabinet release, room release. */
export type Row = readonly [number, number, number, number, number];

/** Steps of one generator, by their length in ms. */
export interface Steps {
  readonly generator: Float64Array;
  readonly byMs: Map<number, Step>;
}

const SIZE = 5;
const MS_PER_S = 1000;
/** Up to here 2^k ms is worked out afresh: rates of one in minutes have then told on the step. */
const LEAP_FRESH_MS = 2 ** 16;
/** A regular poll needs one length, a late or retried one a few more; 94 powers of two (stretch) must fit. */
const STEPS_MAX = 128;

/** The generator with the given rows for cabinet, room and rider; the releases are constant. */
export function stepsOf(cabinet: Row, room: Row, rider: Row): Steps {
  const generator = new Float64Array(SIZE * SIZE);
  generator.set([...cabinet, ...room, ...rider]);
  return { generator, byMs: new Map() };
}

/** The step of this length, from memory where it was asked for before. */
export function stepAfter(steps: Steps, dtMs: number): Step {
  return remembered(steps, dtMs, freshStep);
}

/**
 * The step of a power of two of ms, remembered. A long one is its half taken twice, which costs little; a
 * short one is worked out, because doubling what hardly differs from standing still doubles its rounding.
 */
export function leapAfter(steps: Steps, leapMs: number): Step {
  return remembered(steps, leapMs, leapMs > LEAP_FRESH_MS ? halfTwice : freshStep);
}

/** The step of this length, not kept: for one that will hardly come again. */
export function freshStep(steps: Steps, dtMs: number): Step {
  const seconds = dtMs / MS_PER_S;
  const matrix = expm(
    steps.generator.map((perSecond) => perSecond * seconds),
    SIZE,
  );
  const entry = (row: number, column: number): number => at(matrix, row * SIZE + column);
  return {
    dtMs,
    cc: entry(0, 0),
    cr: entry(0, 1),
    cp: entry(0, 3),
    cq: entry(0, 4),
    rc: entry(1, 0),
    rr: entry(1, 1),
    rp: entry(1, 3),
    rq: entry(1, 4),
    yc: entry(2, 0),
    yr: entry(2, 1),
    yy: entry(2, 2),
    yp: entry(2, 3),
    yq: entry(2, 4),
  };
}

/** Takes the state one step on, in place: the one product that a sensor read costs. */
export function applyStep(step: Step, state: AirState, releases: Releases): void {
  const { cabinet, room, rider } = state;
  const { cabinetKgPerS, roomKgPerS } = releases;
  state.cabinet = step.cc * cabinet + step.cr * room + step.cp * cabinetKgPerS + step.cq * roomKgPerS;
  state.room = step.rc * cabinet + step.rr * room + step.rp * cabinetKgPerS + step.rq * roomKgPerS;
  state.rider =
    step.yc * cabinet + step.yr * room + step.yy * rider + step.yp * cabinetKgPerS + step.yq * roomKgPerS;
}

/** Full, the memory starts anew: whoever polls regularly has filled his part again after one poll. */
function remembered(steps: Steps, dtMs: number, make: (steps: Steps, dtMs: number) => Step): Step {
  const known = steps.byMs.get(dtMs);
  if (known !== undefined) return known;
  const made = make(steps, dtMs);
  if (steps.byMs.size >= STEPS_MAX) steps.byMs.clear();
  steps.byMs.set(dtMs, made);
  return made;
}

function halfTwice(steps: Steps, dtMs: number): Step {
  const { cc, cr, cp, cq, rc, rr, rp, rq, yc, yr, yy, yp, yq } = leapAfter(steps, dtMs / 2);
  return {
    dtMs,
    cc: cc * cc + cr * rc,
    cr: cc * cr + cr * rr,
    cp: cc * cp + cr * rp + cp,
    cq: cc * cq + cr * rq + cq,
    rc: rc * cc + rr * rc,
    rr: rc * cr + rr * rr,
    rp: rc * cp + rr * rp + rp,
    rq: rc * cq + rr * rq + rq,
    yc: yc * cc + yr * rc + yy * yc,
    yr: yc * cr + yr * rr + yy * yr,
    yy: yy * yy,
    yp: yc * cp + yr * rp + yy * yp + yp,
    yq: yc * cq + yr * rq + yy * yq + yq,
  };
}
