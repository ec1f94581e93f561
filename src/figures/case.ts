/** The case that figures are asked for: a refrigerant, a charge, a room, and what air moves in it. */
import { type HowSure, type Refrigerant, recordOf, type SafetyClass, SOURCES } from '../refrigerant/index.ts';

/** Height of the opening that a leak comes out of, by how the unit is installed: RD 552/2019 IF-04 App. 3. */
export const INSTALLS = { floor: 0.6, window: 1.0, wall: 1.8, ceiling: 2.2 } as const;
export type Install = keyof typeof INSTALLS;

export interface FiguresCase {
  readonly refrigerant: Refrigerant;
  /** That can leak at once: of one circuit. */
  readonly chargeKg: number;
  readonly floorM2: number;
  readonly heightM: number;
  /** Outside air through the room. */
  readonly outsideM3PerH: number;
  /** Of the unit's own fan; null where it was not told. */
  readonly airflowM3PerH: number | null;
  /** null where it was not told: then every height is shown, and none judged. */
  readonly install: Install | null;
  readonly setpointPercentLfl: number;
}

export function volumeM3({ floorM2, heightM }: FiguresCase): number {
  return floorM2 * heightM;
}

/** One that a rig brought itself is taken for what rigs are for. */
export function classOf(refrigerant: Refrigerant): SafetyClass {
  return recordOf(refrigerant)?.row.safetyClass ?? 'A2L';
}

/** What limits a breath of it: kg/m3, and whose number it is. */
export interface ConcentrationLimit {
  readonly value: number;
  readonly from: string;
  readonly sure: HowSure;
}

/** RCL as published for restricted systems, else the practical limit, else a fifth of LFL. */
export function rclOf(refrigerant: Refrigerant): ConcentrationLimit {
  const facts = recordOf(refrigerant)?.row.facts;
  const { restricted, practicalLimit } = facts ?? {};
  if (restricted !== undefined) {
    return { value: restricted.rcl, from: SOURCES['rd552-if04'].title, sure: 'seen' };
  }
  if (practicalLimit !== undefined) {
    return { value: practicalLimit, from: `practical limit, ${SOURCES.rd552.title}`, sure: 'seen' };
  }
  const from = 'a fifth of LFL, as the practical limits of pure 2L fluids in RD 552/2019 IF-02 are';
  return { value: 0.2 * refrigerant.lflKgPerM3, from, sure: 'computed' };
}
