/**
 * The pieces of a course: when a zone fills with pure vapour, and when it stops being full.
 *
 * A zone that fills, or stops being full, ends a piece at an instant inside a millisecond, so that the zone
 * meets pure vapour exactly; all other moments of the bench are whole ms. Under constant inputs there are
 * three pieces at most. The exchange makes each zone push the other its own way only, so once both rise, or
 * both fall, that stays so. What can happen is a zone filling while the other falls and its leaving full
 * when the other has fallen far enough, after which both fall; or, both rising, first one and then the
 * other filling. A full room never stops being full by itself, because the cabinet can only rise to it.
 */
import type { AirPlan, Full, Mode, Zone } from './mode.ts';
import { type AirState, applyStep, freshStep, type Releases } from './step.ts';
import { firstOutside, narrow, type Stop, type Stretch, stateAfter } from './stretch.ts';

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
interface Conditions {
  readonly plan: AirPlan;
  readonly modes: Readonly<Record<Full, Mode>>;
  readonly releases: Releases;
}

/** A state, and how long before the next whole ms it is. */
interface Instant {
  readonly state: Readonly<AirState>;
  readonly leadMs: number;
}
type Tests = Readonly<Record<Zone, (kgPerM3: number) => boolean>>;

/** One more than the theory above allows. */
const PIECES_MAX = 4;
/** How far ahead a zone that fills is looked for, 34 years: no bench runs longer on one release. */
const LOOK_AHEAD_MS = 2 ** 40;
/** Relative. So little above pure vapour is rounding, not a zone that fills; and so for one that empties. */
const FULL_SLACK = 1e-12;
/** Two instants that are no further apart cannot be told from each other. */
const GRAIN_MS = 2 ** -40;

/** All pieces from a state at fromMs on, while nobody changes an input. */
export function piecesFrom(conditions: Conditions, fromMs: number, state: AirState): readonly Piece[] {
  const pieces: Piece[] = [];
  let piece: Piece | undefined = opening(conditions, fromMs, state);
  while (piece !== undefined && pieces.length < PIECES_MAX) {
    pieces.push(piece);
    piece = pieceAfter(conditions, piece);
  }
  return pieces;
}

/** A zone at pure vapour begins full if more comes in than it loses; if just as much, the future tells. */
function opening(conditions: Conditions, fromMs: number, given: Readonly<AirState>): Piece {
  const { plan, modes, releases } = conditions;
  // What the slack let through, less than 1e-12 of it, is not there to begin with.
  const state = {
    ...given,
    cabinet: Math.min(given.cabinet, plan.vapourKgPerM3),
    room: Math.min(given.room, plan.vapourKgPerM3),
  };
  const leaving = modes.none.exchangeM3PerS * (state.cabinet - state.room);
  const cabinet = state.cabinet === plan.vapourKgPerM3 && releases.cabinetKgPerS > leaving;
  const entering = releases.roomKgPerS + (cabinet ? releases.cabinetKgPerS : leaving);
  const room = state.room === plan.vapourKgPerM3 && entering > plan.outsideM3PerS * state.room;
  return begin(conditions, fullOf(cabinet, room), fromMs, { state, leadMs: 0 });
}

/** The piece that follows this one, if it ever ends. */
function pieceAfter(conditions: Conditions, piece: Piece): Piece | undefined {
  const { plan, releases } = conditions;
  // Without a release the gas only spreads: nothing fills.
  if (releases.cabinetKgPerS + releases.roomKgPerS === 0) return undefined;
  const { mode, firstMs } = piece;
  const ceiling = plan.vapourKgPerM3 * (1 + FULL_SLACK);
  const floor = mode.full === 'cabinet' ? floorOf(conditions) : 0;
  const outside: Tests = {
    cabinet: (kgPerM3) => kgPerM3 > ceiling,
    room: (kgPerM3) => kgPerM3 > ceiling || kgPerM3 < floor,
  };
  const stretch = { mode, releases, start: piece.first, spanMs: LOOK_AHEAD_MS };
  const [found] = [
    firstOutside(stretch, 'cabinet', outside.cabinet),
    firstOutside(stretch, 'room', outside.room),
  ]
    .filter((stop) => stop !== undefined)
    .sort((one, other) => one.offsetMs - other.offsetMs);
  if (found === undefined) return undefined;

  const end = firstInstant(piece, stretch, found, outside);
  const cabinet = mode.full === 'cabinet' ? end.state.room >= floor : end.state.cabinet > ceiling;
  const room = mode.full === 'room' || end.state.room > ceiling;
  return begin(conditions, fullOf(cabinet, room), firstMs + found.offsetMs, end);
}

/** The room's gas below which a full cabinet loses more to it than its release makes up for. */
function floorOf({ plan, modes, releases }: Conditions): number {
  return plan.vapourKgPerM3 * (1 - FULL_SLACK) - releases.cabinetKgPerS / modes.none.exchangeM3PerS;
}

/** The instant from which on a zone is outside, in the millisecond at whose end it was found so. */
function firstInstant(piece: Piece, stretch: Stretch, found: Stop, outside: Tests): Instant {
  const before =
    found.offsetMs === 0
      ? { offsetMs: -piece.leadMs, state: piece.start }
      : { offsetMs: found.offsetMs - 1, state: stateAfter(stretch, found.offsetMs - 1) };
  const isSo = ({ cabinet, room }: Readonly<AirState>): boolean =>
    outside.cabinet(cabinet) || outside.room(room);
  // Counted from the whole ms, a grain this fine is not lost in a bench time of days.
  const from = { offsetMs: before.offsetMs - found.offsetMs, state: before.state };
  const [, first] = narrow(stretch, [from, { offsetMs: 0, state: found.state }], isSo, GRAIN_MS);
  return { state: first.state, leadMs: -first.offsetMs };
}

/** A full zone holds pure vapour to the last bit: its row of the mode then keeps it there. */
function begin({ plan, modes, releases }: Conditions, full: Full, firstMs: number, at: Instant): Piece {
  const start = { ...at.state };
  if (full === 'cabinet' || full === 'both') start.cabinet = plan.vapourKgPerM3;
  if (full === 'room' || full === 'both') start.room = plan.vapourKgPerM3;
  const mode = modes[full];
  const first = { ...start };
  if (at.leadMs > 0) applyStep(freshStep(mode.outdoors, at.leadMs), first, releases);
  return { mode, firstMs, leadMs: at.leadMs, start, first };
}

function fullOf(cabinet: boolean, room: boolean): Full {
  if (cabinet) return room ? 'both' : 'cabinet';
  return room ? 'room' : 'none';
}
