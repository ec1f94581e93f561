/**
 * The air of the bench through time: from the moment its inputs last changed, its whole future is known.
 *
 * A course is a value, worked out once when an input changes (airflow, release) and never altered: what
 * anybody asks about a later moment is read off it, exactly, and nothing ticks. Moments are whole ms of
 * bench time.
 */
import { type KgPerM3, kgPerM3, type Ms } from '../../src/units/index.ts';
import { at } from './expm.ts';
import type { Zone } from './flows.ts';
import { type AirModel, airShape, numberOf } from './mode.ts';
import { type Piece, piecesFrom } from './pieces.ts';
import { type AirState, releaseAt, sizeOf } from './step.ts';
import { stateAfter } from './stretch.ts';

export interface AirInputs {
  /** Whether the fan's air moves, not whether the fan is commanded. */
  readonly fanBlowing: boolean;
  readonly cabinetKgPerS: number;
  /** Into a room of one zone; one of two layers takes the two below. */
  readonly roomKgPerS: number;
  readonly lowKgPerS?: number;
  readonly highKgPerS?: number;
  /** How fast all of them fall from what they are now, by themselves, 1/s; left out, they are constant. */
  readonly fallsPerS?: number;
}

/** What the air does from fromMs on while nobody changes an input. */
export interface AirCourse {
  readonly model: AirModel;
  readonly inputs: Required<AirInputs>;
  readonly fromMs: Ms;
  /** Released before fromMs. */
  readonly releasedKg: number;
  readonly pieces: readonly Piece[];
}

/** Where all gas that was ever released is; outdoors is summed up on its own, so that the sum is a check. */
export interface AirMasses {
  readonly cabinetKg: number;
  /** Both layers of it. */
  readonly roomKg: number;
  readonly outdoorsKg: number;
  readonly releasedKg: number;
}

const MS_PER_S = 1000;
/** Which input a release into a zone is. */
export const RELEASE_INTO = {
  cabinet: 'cabinetKgPerS',
  room: 'roomKgPerS',
  low: 'lowKgPerS',
  high: 'highKgPerS',
} as const satisfies Readonly<Record<Zone, keyof AirInputs>>;

/** Clean air. Throws RangeError on a release that is negative, not finite or nowhere, and on a broken ms. */
export function startAir(model: AirModel, inputs: AirInputs, now: Ms): AirCourse {
  return courseFrom(model, inputs, now, new Float64Array(sizeOf(airShape(model.zones))), 0);
}

/**
 * The course after an input changed; what the old one said about moments before `now` stands. Contract:
 * whoever changes the air lets every lag follow the new course (followAir) before it reads one again.
 */
export function changeAir(course: AirCourse, inputs: AirInputs, now: Ms): AirCourse {
  return courseFrom(course.model, inputs, now, stateAt(course, now), massesAt(course, now).releasedKg);
}

/** The inputs as they are at a moment of the course: releases that fall have fallen. */
export function inputsAt({ inputs, fromMs }: AirCourse, now: Ms): Required<AirInputs> {
  if (inputs.fallsPerS === 0) return inputs;
  const left = Math.exp((-inputs.fallsPerS * (now - fromMs)) / MS_PER_S);
  const fallen = Object.values(RELEASE_INTO).map((key) => [key, inputs[key] * left] as const);
  return { ...inputs, ...Object.fromEntries(fallen) };
}

/** Gas in a zone at a moment of the course; never above pure vapour. RangeError: not a moment of it. */
export function concentrationAt(course: AirCourse, zone: Zone, now: Ms): KgPerM3 {
  const number = numberOf(course.model.zones, zone);
  return kgPerM3(Math.min(at(stateAt(course, now), number), course.model.plan.vapourKgPerM3));
}

/** Kilograms at a moment of the course: cabinet + room + outdoors = released. */
export function massesAt(course: AirCourse, now: Ms): AirMasses {
  const { model, inputs, fromMs, releasedKg } = course;
  const state = stateAt(course, now);
  const [cabinetKg = 0, ...roomKg] = model.m3.map((m3, zone) => at(state, zone) * m3);
  const kgPerS = Object.values(RELEASE_INTO).reduce((sum, key) => sum + inputs[key], 0);
  const { fallsPerS } = inputs;
  const sinceS = (now - fromMs) / MS_PER_S;
  const sinceKg =
    fallsPerS === 0
      ? (kgPerS * (now - fromMs)) / MS_PER_S
      : (kgPerS * -Math.expm1(-fallsPerS * sinceS)) / fallsPerS;
  return {
    cabinetKg,
    roomKg: roomKg.reduce((sum, kg) => sum + kg, 0),
    outdoorsKg: at(state, model.zones.length),
    releasedKg: releasedKg + sinceKg,
  };
}

/** The state at a moment of the course, a copy; its rider is the gas gone outdoors, kg. */
export function stateAt(course: AirCourse, now: Ms): AirState {
  const { mode, first, firstMs } = pieceAt(course, now);
  return stateAfter({ mode, start: first }, now - firstMs);
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
  given: AirInputs,
  fromMs: Ms,
  state: AirState,
  releasedKg: number,
): AirCourse {
  const inputs = { lowKgPerS: 0, highKgPerS: 0, fallsPerS: 0, ...given };
  const sound = (rate: number): boolean => Number.isFinite(rate) && rate >= 0;
  const nowhere = ([zone, key]: readonly [string, keyof AirInputs]): boolean =>
    inputs[key] !== 0 && !model.zones.some((known) => known === zone);
  const rates = [...Object.values(RELEASE_INTO).map((key) => inputs[key]), inputs.fallsPerS];
  if (!rates.every(sound) || Object.entries(RELEASE_INTO).some(nowhere) || !Number.isInteger(fromMs)) {
    throw new RangeError(`courseFrom: ${JSON.stringify(given)} from ${fromMs} ms`);
  }
  const shape = airShape(model.zones);
  for (const [number, zone] of model.zones.entries()) {
    state[releaseAt(shape, number)] = inputs[RELEASE_INTO[zone]];
  }
  return { model, inputs, fromMs, releasedKg, pieces: piecesFrom(model, inputs, fromMs, state) };
}
