/**
 * The air of a rig as a linear system, one for each way it can behave: its modes.
 *
 * Two well-mixed zones (textbook), gas in kg/m3: the cabinet Cd in Vd and the room Cr in Vr, between them
 * the exchange Qx (leakage, or the fan's airflow while it blows), through the room the outside air Qo:
 *
 *     Vd Cd' = P + Qx (Cr - Cd)          Vr Cr' = Q + Qx (Cd - Cr) - Qo Cr
 *
 * with releases P into the cabinet and Q into the room. No concentration exceeds pure vapour: a zone that
 * reaches it is full and stays there, and what it cannot take goes on, from the cabinet into the room, from
 * the room outdoors. With a full cabinet the room gets exactly P + Q - Qo Cr, because what the exchange
 * brings and what spills over add up to P. So each mode is linear, and the gas gone outdoors with it.
 */
import { type Row, type Steps, stepsOf } from './step.ts';

export type Zone = 'cabinet' | 'room';
/** Which zones hold nothing but vapour. */
export type Full = 'none' | 'cabinet' | 'room' | 'both';

/** The rig's air; every number finite, volumes and vapour density positive, flows not negative. */
export interface AirPlan {
  readonly cabinetM3: number;
  readonly roomM3: number;
  /** Exchange between cabinet and room while the fan stands still. */
  readonly leakageM3PerS: number;
  /** Exchange while it blows, in place of the leakage. */
  readonly fanM3PerS: number;
  /** Fresh air in, and as much room air out. */
  readonly outsideM3PerS: number;
  /** Density of the pure vapour. */
  readonly vapourKgPerM3: number;
}

export interface Mode {
  readonly full: Full;
  readonly exchangeM3PerS: number;
  /** Rate of change of each zone. */
  readonly rows: Readonly<Record<Zone, Row>>;
  /** The quicker of the two rates at which the zones settle, and how much quicker it is, 1/s. */
  readonly fastPerS: number;
  readonly gapPerS: number;
  /** Steps whose rider is the gas gone outdoors; remembered for powers of two only. */
  readonly outdoors: Steps;
  /** Steps whose rider is a sensor, by its zone and time constant. */
  readonly sensors: Map<string, Steps>;
}

/** All modes of one plan with their remembered steps: made once, shared by all runs on that plan. */
export interface AirModel {
  readonly plan: AirPlan;
  readonly still: Readonly<Record<Full, Mode>>;
  readonly blowing: Readonly<Record<Full, Mode>>;
}

/** Kinds of sensor remembered in a mode: a rig has a few, a sensor made slow by a fault adds one. */
const SENSOR_KINDS_MAX = 16;
const MS_PER_S = 1000;
const UNCHANGED: Row = [0, 0, 0, 0, 0];

/** Flows per second beside the volumes they act on. */
interface Flows {
  readonly exchange: number;
  readonly outside: number;
  readonly cabinetM3: number;
  readonly roomM3: number;
}
interface Rows {
  readonly cabinet: Row;
  readonly room: Row;
  readonly outdoors: Row;
}

/** The theory above, a row each; what spills outdoors of a full room is whatever else would raise it. */
const ROWS: Readonly<Record<Full, (flows: Flows) => Rows>> = {
  none: ({ exchange, outside, cabinetM3, roomM3 }) => ({
    cabinet: [-exchange / cabinetM3, exchange / cabinetM3, 0, 1 / cabinetM3, 0],
    room: [exchange / roomM3, -(exchange + outside) / roomM3, 0, 0, 1 / roomM3],
    outdoors: [0, outside, 0, 0, 0],
  }),
  cabinet: ({ outside, roomM3 }) => ({
    cabinet: UNCHANGED,
    room: [0, -outside / roomM3, 0, 1 / roomM3, 1 / roomM3],
    outdoors: [0, outside, 0, 0, 0],
  }),
  room: ({ exchange, cabinetM3 }) => ({
    cabinet: [-exchange / cabinetM3, exchange / cabinetM3, 0, 1 / cabinetM3, 0],
    room: UNCHANGED,
    outdoors: [exchange, -exchange, 0, 0, 1],
  }),
  both: () => ({ cabinet: UNCHANGED, room: UNCHANGED, outdoors: [0, 0, 0, 1, 1] }),
};

/** Throws RangeError on a plan that no rig can have. */
export function airModel(plan: AirPlan): AirModel {
  const { cabinetM3, roomM3, leakageM3PerS, fanM3PerS, outsideM3PerS, vapourKgPerM3 } = plan;
  const sizes = [cabinetM3, roomM3, vapourKgPerM3];
  const flows = [leakageM3PerS, fanM3PerS, outsideM3PerS];
  if (![...sizes, ...flows].every(Number.isFinite) || Math.min(...sizes) <= 0 || Math.min(...flows) < 0) {
    throw new RangeError(`airModel: ${JSON.stringify(plan)}`);
  }
  return { plan, still: modesOf(plan, leakageM3PerS), blowing: modesOf(plan, fanM3PerS) };
}

/** Steps of a sensor with this time constant in a zone of this mode; RangeError unless tau is positive. */
export function sensorSteps(mode: Mode, zone: Zone, tauMs: number): Steps {
  if (!(tauMs > 0)) throw new RangeError(`sensorSteps: a time constant of ${tauMs} ms`);
  const key = `${zone} ${tauMs}`;
  const known = mode.sensors.get(key);
  if (known !== undefined) return known;
  const perS = MS_PER_S / tauMs;
  const response: Row = zone === 'cabinet' ? [perS, 0, -perS, 0, 0] : [0, perS, -perS, 0, 0];
  const made = stepsOf(mode.rows.cabinet, mode.rows.room, response);
  if (mode.sensors.size >= SENSOR_KINDS_MAX) mode.sensors.clear();
  mode.sensors.set(key, made);
  return made;
}

function modesOf(plan: AirPlan, exchange: number): Readonly<Record<Full, Mode>> {
  const mode = (full: Full): Mode => {
    const { cabinet, room, outdoors } = ROWS[full]({ ...plan, exchange, outside: plan.outsideM3PerS });
    // Eigenvalues of the two zones' 2 x 2 part: real, because its entries off the diagonal share a sign.
    const [mean, half] = [-(cabinet[0] + room[1]) / 2, (cabinet[0] - room[1]) / 2];
    const halfGap = Math.sqrt(half ** 2 + cabinet[1] * room[0]);
    return {
      full,
      exchangeM3PerS: exchange,
      fastPerS: mean + halfGap,
      gapPerS: 2 * halfGap,
      rows: { cabinet, room },
      outdoors: stepsOf(cabinet, room, outdoors),
      sensors: new Map(),
    };
  };
  return { none: mode('none'), cabinet: mode('cabinet'), room: mode('room'), both: mode('both') };
}
