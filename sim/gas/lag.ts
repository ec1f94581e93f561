/**
 * The lag of a gas sensor: y' = (u - y) / tau, where u is the gas that its element feels.
 *
 * First order is what a response time t90 describes: after a step, y = u (1 - e^(-t/tau)), 90 % of it after
 * tau ln 10 (textbook; t90 as IEC 60079-29-1 defines it). A lag is brought up to now when somebody reads
 * it: it keeps the state of the air as of its last read, so that the next read costs one small product with
 * a remembered matrix, and allocates nothing.
 *
 * Contract: each lag has one owner, who changes it only through the functions here, in order of time, and
 * lets it follow the new course (followAir) whenever the air changed, before it reads it again. A lag that
 * was not told goes on along the old course.
 */
import { type KgPerM3, kgPerM3, type Ms, ms } from '../../src/units/index.ts';
import { type AirCourse, pieceAt, stateAt } from './air.ts';
import { at } from './expm.ts';
import type { Zone } from './flows.ts';
import { sensorSteps } from './mode.ts';
import type { Piece } from './pieces.ts';
import {
  type AirState,
  applyStep,
  freshStep,
  releaseAt,
  type Step,
  type Steps,
  sizeOf,
  stepAfter,
} from './step.ts';

/** Where the sensor is mounted, and the gas of a hose over its element; null: it feels its zone. */
export interface Exposure {
  readonly zone: Zone;
  readonly hoseKgPerM3: number | null;
}

/** How a lag begins; the response is what it shows then, kg/m3. */
export interface LagStart {
  readonly tauMs: Ms;
  readonly exposure: Exposure;
  readonly response: KgPerM3;
  /** Of the pocket of air that a sheltered sensor sits in; left out, it sits in the stream. */
  readonly shelterTauMs?: Ms;
}

export interface Lag {
  course: AirCourse;
  exposure: Exposure;
  tauMs: Ms;
  /** Zero in the stream. */
  readonly shelterTauMs: number;
  atMs: Ms;
  /** The air as of atMs (stale under a hose); its riders are the pocket, if any, and the response, kg/m3. */
  readonly state: AirState;
  /** Where the response stands in it. */
  readonly responseAt: number;
  /** The piece of the course that atMs lies in. */
  piece: Piece;
  /** Before this moment one step leads on; a hose, or another mode of the air, takes more. */
  plainUntilMs: number;
  /** Steps of this sensor in the mode of its piece, and the one that it took last. */
  steps: Steps;
  step: Step;
}

/** The time constant of a first-order sensor that shows 90 % of a step after t90. */
export function tauOfT90(t90Ms: Ms): Ms {
  return ms(t90Ms / Math.LN10);
}

/**
 * Throws RangeError on a time constant that is not positive, or more gas than there can be. The pocket of a
 * sheltered sensor begins with the gas that the sensor shows.
 */
export function startLag(course: AirCourse, start: LagStart, now: Ms): Lag {
  const { tauMs, exposure, response, shelterTauMs = 0 } = start;
  checkExposure(course, exposure);
  const piece = pieceAt(course, now);
  const steps = sensorSteps(piece.mode, exposure.zone, tauMs, shelterTauMs);
  const { zones, riders } = steps.shape;
  const state = new Float64Array(sizeOf(steps.shape)).fill(checkGas(course, response), zones, zones + riders);
  const lag: Lag = {
    course,
    exposure,
    tauMs,
    shelterTauMs,
    atMs: now,
    state,
    responseAt: zones + riders - 1,
    piece,
    plainUntilMs: Number.NEGATIVE_INFINITY,
    steps,
    step: stepAfter(steps, 0),
  };
  bind(lag);
  return lag;
}

/** The response at `now`; never above pure vapour. Throws RangeError before the last read. */
export function readLag(lag: Lag, now: Ms): KgPerM3 {
  const dtMs = now - lag.atMs;
  if (dtMs > 0 && now < lag.plainUntilMs) {
    if (lag.step.dtMs !== dtMs) lag.step = stepAfter(lag.steps, dtMs);
    applyStep(lag.step, lag.state);
    lag.atMs = now;
  } else if (dtMs !== 0) {
    bringAcross(lag, now);
  }
  return kgPerM3(Math.min(at(lag.state, lag.responseAt), lag.course.model.plan.vapourKgPerM3));
}

/** The air changed: up to the moment at which it did, the old course holds, from then on the new one. */
export function followAir(lag: Lag, course: AirCourse): void {
  readLag(lag, course.fromMs);
  lag.course = course;
  bind(lag);
}

/** A hose comes over the element or goes off it, or the sensor is mounted elsewhere. */
export function expose(lag: Lag, exposure: Exposure, now: Ms): void {
  checkExposure(lag.course, exposure);
  readLag(lag, now);
  lag.exposure = exposure;
  bind(lag);
}

/** The element becomes slower or quicker. */
export function setTau(lag: Lag, tauMs: Ms, now: Ms): void {
  readLag(lag, now);
  lag.tauMs = tauMs;
  bind(lag);
}

/** Takes up what holds from atMs on: the air as it is, the piece, the steps of this sensor in it. */
function bind(lag: Lag): void {
  const { course, exposure, atMs, state, responseAt } = lag;
  takeAir(lag, stateAt(course, atMs));
  lag.piece = pieceAt(course, atMs);
  lag.steps = stepsIn(lag, lag.piece);
  lag.step = stepAfter(lag.steps, 0);
  const [next] = piecesAfter(lag);
  // What comes out of a hose fills the pocket too.
  if (exposure.hoseKgPerM3 !== null) state.fill(exposure.hoseKgPerM3, lag.steps.shape.zones, responseAt);
  if (exposure.hoseKgPerM3 !== null) lag.plainUntilMs = Number.NEGATIVE_INFINITY;
  else lag.plainUntilMs = next === undefined ? Number.POSITIVE_INFINITY : next.firstMs;
}

/** The ways that no single step leads: under a hose, and across changes of mode. */
function bringAcross(lag: Lag, now: Ms): void {
  const { atMs, state, exposure, tauMs, responseAt } = lag;
  if (now < atMs) throw new RangeError(`bringAcross: back from ${atMs} to ${now} ms`);
  lag.atMs = now;
  if (exposure.hoseKgPerM3 !== null) {
    const hose = exposure.hoseKgPerM3;
    state[responseAt] = hose + (at(state, responseAt) - hose) * Math.exp((atMs - now) / tauMs);
    return;
  }
  let reachedMs: number = atMs;
  for (const piece of piecesAfter(lag)) {
    if (piece.firstMs > now) break;
    const startMs = piece.firstMs - piece.leadMs;
    applyStep(freshStep(lag.steps, startMs - reachedMs), state);
    takeAir(lag, piece.start);
    lag.steps = stepsIn(lag, piece);
    reachedMs = startMs;
  }
  applyStep(freshStep(lag.steps, now - reachedMs), state);
  bind(lag);
}

function stepsIn({ exposure, tauMs, shelterTauMs }: Lag, { mode }: Piece): Steps {
  return sensorSteps(mode, exposure.zone, tauMs, shelterTauMs);
}

/** The zones and releases of a state of the air; the riders stay. */
function takeAir({ state, steps: { shape } }: Lag, air: Readonly<AirState>): void {
  state.set(air.subarray(0, shape.zones));
  state.set(air.subarray(air.length - shape.zones), releaseAt(shape, 0));
}

function piecesAfter({ course, piece }: Lag): readonly Piece[] {
  return course.pieces.slice(course.pieces.indexOf(piece) + 1);
}

function checkExposure(course: AirCourse, { hoseKgPerM3 }: Exposure): void {
  if (hoseKgPerM3 !== null) checkGas(course, hoseKgPerM3);
}

/** A level that some gas can have, or RangeError. */
function checkGas(course: AirCourse, level: number): KgPerM3 {
  if (level > course.model.plan.vapourKgPerM3) throw new RangeError(`checkGas: ${level} kg/m3 of vapour`);
  return kgPerM3(level);
}
