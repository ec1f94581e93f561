/**
 * The air of the bench through time: from the moment its inputs last changed, its whole future is known.
 *
 * A course is a value, worked out once when an input changes (airflow, release) and never altered: what
 * anybody asks about a later moment is read off it, exactly, and nothing ticks. Moments are whole ms of
 * bench time.
 */
import { type KgPerM3, kgPerM3, type Ms } from '../../src/units/index.ts';
import type { AirModel, Zone } from './mode.ts';
import { type Piece, piecesFrom } from './pieces.ts';
import type { AirState, Releases } from './step.ts';
import { stateAfter } from './stretch.ts';

export interface AirInputs extends Releases {
  /** Whether the fan's air moves, not whether the fan is commanded. */
  readonly fanBlowing: boolean;
}

/** What the air does from fromMs on while nobody changes an input. */
export interface AirCourse {
  readonly model: AirModel;
  readonly inputs: AirInputs;
  readonly fromMs: Ms;
  /** Released before fromMs. */
  readonly releasedKg: number;
  readonly pieces: readonly Piece[];
}

/** Where all gas that was ever released is; outdoors is summed up on its own, so that the sum is a check. */
export interface AirMasses {
  readonly cabinetKg: number;
  readonly roomKg: number;
  readonly outdoorsKg: number;
  readonly releasedKg: number;
}

const MS_PER_S = 1000;

/** Clean air. Throws RangeError on a release that is negative or not finite, and on a broken ms. */
export function startAir(model: AirModel, inputs: AirInputs, now: Ms): AirCourse {
  return courseFrom(model, inputs, now, { cabinet: 0, room: 0, rider: 0 }, 0);
}

/**
 * The course after an input changed; what the old one said about moments before `now` stands. Contract:
 * whoever changes the air lets every lag follow the new course (followAir) before it reads one again.
 */
export function changeAir(course: AirCourse, inputs: AirInputs, now: Ms): AirCourse {
  return courseFrom(course.model, inputs, now, stateAt(course, now), massesAt(course, now).releasedKg);
}

/** Gas in a zone at a moment of the course; never above pure vapour. RangeError: not a moment of it. */
export function concentrationAt(course: AirCourse, zone: Zone, now: Ms): KgPerM3 {
  return kgPerM3(Math.min(stateAt(course, now)[zone], course.model.plan.vapourKgPerM3));
}

/** Kilograms at a moment of the course: cabinet + room + outdoors = released. */
export function massesAt(course: AirCourse, now: Ms): AirMasses {
  const { model, inputs, fromMs, releasedKg } = course;
  const state = stateAt(course, now);
  const kgPerS = inputs.cabinetKgPerS + inputs.roomKgPerS;
  return {
    cabinetKg: state.cabinet * model.plan.cabinetM3,
    roomKg: state.room * model.plan.roomM3,
    outdoorsKg: state.rider,
    releasedKg: releasedKg + (kgPerS * (now - fromMs)) / MS_PER_S,
  };
}

/** The state at a moment of the course, a copy; its rider is the gas gone outdoors, kg. */
export function stateAt(course: AirCourse, now: Ms): AirState {
  const { mode, first, firstMs } = pieceAt(course, now);
  return stateAfter({ mode, releases: course.inputs, start: first }, now - firstMs);
}

/** The piece that a moment lies in. Throws RangeError before the course began, and between two ms. */
export function pieceAt(course: AirCourse, now: Ms): Piece {
  const piece = course.pieces.findLast(({ firstMs }) => firstMs <= now);
  if (piece === undefined || !Number.isInteger(now)) {
    throw new RangeError(`pieceAt: ${now} ms on a course from ${course.fromMs} ms`);
  }
  return piece;
}

function courseFrom(
  model: AirModel,
  { fanBlowing, cabinetKgPerS, roomKgPerS }: AirInputs,
  fromMs: Ms,
  state: AirState,
  releasedKg: number,
): AirCourse {
  const sound = (kgPerS: number): boolean => Number.isFinite(kgPerS) && kgPerS >= 0;
  if (!sound(cabinetKgPerS) || !sound(roomKgPerS) || !Number.isInteger(fromMs)) {
    throw new RangeError(`courseFrom: ${cabinetKgPerS} and ${roomKgPerS} kg/s from ${fromMs} ms`);
  }
  const inputs = { fanBlowing, cabinetKgPerS, roomKgPerS };
  const modes = fanBlowing ? model.blowing : model.still;
  const pieces = piecesFrom({ plan: model.plan, modes, releases: inputs }, fromMs, state);
  return { model, inputs, fromMs, releasedKg, pieces };
}
