/**
 * The pieces of a course: when a zone fills with pure vapour, and when it stops being full.
 *
 * A zone that fills, or stops being full, ends a piece at an instant inside a millisecond, so that the zone
 * meets pure vapour exactly; all other moments of the bench are whole ms. A full zone takes with it the full
 * zones that spill into it: it stays full as long as what comes into all of them, releases and air, holds
 * more vapour than as much air of theirs that leaves.
 */
import { at } from './expm.ts';
import { type AirModel, airShape, type Conditions, inflowInto, type Mode, modeOf } from './mode.ts';
import { type Watch, watched } from './reach.ts';
import { type AirState, applyStep, freshStep, releaseAt, sizeOf } from './step.ts';
import { firstOutside, isOutside, narrow, type Stop, type Stretch, stateAfter } from './stretch.ts';

/** Begins leadMs (0 to 1) before firstMs, its first whole ms, and lasts until the next piece begins. */
export interface Piece {
  readonly mode: Mode;
  readonly firstMs: number;
  readonly leadMs: number;
  /** The state as it begins, and at firstMs. */
  readonly start: Readonly<AirState>;
  readonly first: Readonly<AirState>;
}

/** What stays as it is from piece to piece. */
interface Setting {
  readonly model: AirModel;
  readonly conditions: Conditions;
}

/** A state, and how long before the next whole ms it is. */
interface Instant {
  readonly state: Readonly<AirState>;
  readonly leadMs: number;
}

/** Each zone fills and empties once or twice under one release; rounding must not make it do so for ever. */
const PIECES_MAX = 64;
/** How far ahead a zone that fills is looked for, 34 years: no bench runs longer on one release. */
const LOOK_AHEAD_MS = 2 ** 40;
/** Relative. So little above pure vapour is rounding, not a zone that fills; and so for one that empties. */
const FULL_SLACK = 1e-12;
/** Two instants that are no further apart cannot be told from each other. */
const GRAIN_MS = 2 ** -40;

/** All pieces from a state at fromMs on, while nobody changes an input. */
export function piecesFrom(
  model: AirModel,
  conditions: Conditions,
  fromMs: number,
  state: AirState,
): readonly Piece[] {
  const setting = { model, conditions };
  const pieces: Piece[] = [];
  let piece: Piece | undefined = opening(setting, fromMs, state);
  while (piece !== undefined && pieces.length < PIECES_MAX) {
    pieces.push(piece);
    piece = pieceAfter(setting, piece);
  }
  return pieces;
}

/** A zone at pure vapour begins full if more comes in than it loses; if just as much, the future tells. */
function opening(setting: Setting, fromMs: number, given: Readonly<AirState>): Piece {
  const { zones, plan } = setting.model;
  const shape = airShape(zones);
  // What the slack let through, less than 1e-12 of it, is not there to begin with.
  const state = given.map((value, index) =>
    index < zones.length ? Math.min(value, plan.vapourKgPerM3) : value,
  );
  const full: boolean[] = [];
  for (const zone of zones.keys()) {
    const { m3PerS, shares, releases } = inflowInto(setting.model, setting.conditions.fanBlowing, full, zone);
    const mean = shares.reduce((sum, share, from) => sum + share * at(state, from), 0);
    const loses = m3PerS * (plan.vapourKgPerM3 - mean);
    const comes = releases.reduce((sum, each) => sum + at(state, releaseAt(shape, each)), 0);
    full.push(at(state, zone) === plan.vapourKgPerM3 && comes > Math.max(0, loses));
  }
  return begin(setting, full, fromMs, { state, leadMs: 0 });
}

/** The piece that follows this one, if it ever ends. */
function pieceAfter(setting: Setting, piece: Piece): Piece | undefined {
  const { zones } = setting.model;
  const { mode, firstMs, first } = piece;
  const shape = airShape(zones);
  // Without a release the gas only spreads: nothing fills.
  if (zones.every((_, zone) => at(first, releaseAt(shape, zone)) === 0)) return undefined;
  const watches = zones.map((_, zone) => watchOf(setting, piece, zone));
  const stretch = { mode, start: first, spanMs: LOOK_AHEAD_MS };
  const found = firstOutside(stretch, watches);
  if (found === undefined) return undefined;

  const end = firstInstant(piece, stretch, found, watches);
  const full = watches.map((watch, zone) => watch.outside(watched(watch, end.state)) !== mode.full[zone]);
  return begin(setting, full, firstMs + found.offsetMs, end);
}

/** When a zone fills, or, where it is full, stops being so. */
function watchOf({ model, conditions }: Setting, { mode, first }: Piece, zone: number): Watch {
  const shape = airShape(model.zones);
  const weights = Array.from({ length: sizeOf(shape) }, () => 0);
  if (mode.full[zone] !== true) {
    weights[zone] = 1;
    const highest = model.plan.vapourKgPerM3 * (1 + FULL_SLACK);
    return { weights, lowest: 0, highest, outside: (kgPerM3) => kgPerM3 > highest };
  }
  const { m3PerS, shares, releases } = inflowInto(model, conditions.fanBlowing, mode.full, zone);
  const highest = Number.POSITIVE_INFINITY;
  // Nothing comes in that is thinner, so nothing thins it.
  if (m3PerS === 0) return { weights, lowest: 0, highest, outside: () => false };
  let lowest = model.plan.vapourKgPerM3 * (1 - FULL_SLACK);
  for (const [from, share] of shares.entries()) weights[from] = share;
  for (const each of releases.map((one) => releaseAt(shape, one))) {
    if (conditions.fallsPerS > 0) weights[each] = 1 / m3PerS;
    else lowest -= at(first, each) / m3PerS;
  }
  return { weights, lowest, highest, outside: (mean) => mean < lowest };
}

/** The instant from which on something is outside, in the millisecond at whose end it was found so. */
function firstInstant(piece: Piece, stretch: Stretch, found: Stop, watches: readonly Watch[]): Instant {
  const before =
    found.offsetMs === 0
      ? { offsetMs: -piece.leadMs, state: piece.start }
      : { offsetMs: found.offsetMs - 1, state: stateAfter(stretch, found.offsetMs - 1) };
  const isSo = (state: Readonly<AirState>): boolean => isOutside(watches, state);
  // Counted from the whole ms, a grain this fine is not lost in a bench time of days.
  const from = { offsetMs: before.offsetMs - found.offsetMs, state: before.state };
  const [, first] = narrow(piece.mode, [from, { offsetMs: 0, state: found.state }], isSo, GRAIN_MS);
  return { state: first.state, leadMs: -first.offsetMs };
}

/** A full zone holds pure vapour to the last bit: its row of the mode then keeps it there. */
function begin(
  { model, conditions }: Setting,
  full: readonly boolean[],
  firstMs: number,
  from: Instant,
): Piece {
  const start = from.state.slice();
  for (const [zone, isFull] of full.entries()) if (isFull) start[zone] = model.plan.vapourKgPerM3;
  const mode = modeOf(model, conditions, full);
  const first = start.slice();
  if (from.leadMs > 0) applyStep(freshStep(mode.outdoors, from.leadMs), first);
  return { mode, firstMs, leadMs: from.leadMs, start, first };
}
