/**
 * The published formulas, as plain functions. Units: kg, m, m2, m3, m3/h, kg/m3 of refrigerant in air.
 *
 * Clauses and how sure we are of each stand with the figures that use them. Expected trouble is null: a room
 * or a charge that a formula does not speak of.
 */

/** A charge cap: so many m3 of air at the lower flammability limit. */
export function chargeCap(volumesM3: number, lfl: number): number {
  return volumesM3 * lfl;
}

/** m_max = 2.5 · LFL^1.25 · h0 · √A. */
export function maxCharge(lfl: number, h0M: number, floorM2: number): number {
  return 2.5 * lfl ** 1.25 * h0M * Math.sqrt(floorM2);
}

/** A_min = (m / (2.5 · LFL^1.25 · h0))². */
export function minFloor(chargeKg: number, lfl: number, h0M: number): number {
  return (chargeKg / maxCharge(lfl, h0M, 1)) ** 2;
}

/** The same, and not above 0.75 · LFL · h0 · A: in small rooms the straight line is the lower. */
export function cappedMaxCharge(lfl: number, h0M: number, floorM2: number): number {
  return Math.min(maxCharge(lfl, h0M, floorM2), linearCharge(lfl, h0M) * floorM2);
}

export function cappedMinFloor(chargeKg: number, lfl: number, h0M: number): number {
  return Math.max(minFloor(chargeKg, lfl, h0M), chargeKg / linearCharge(lfl, h0M));
}

function linearCharge(lfl: number, h0M: number): number {
  return 0.75 * lfl * h0M;
}

/** Height of the air that a unit which stirs the room without end is taken to reach. */
const STIRRED_M = 2.2;

/** Non-fixed factory-sealed units with a fan that never stops: a quarter of LFL in 2.2 m of air. */
export function nonFixedMaxCharge(lfl: number, floorM2: number): number {
  return 0.25 * floorM2 * lfl * STIRRED_M;
}

export function nonFixedMinFloor(chargeKg: number, lfl: number): number {
  return chargeKg / (0.25 * lfl * STIRRED_M);
}

/** A share of LFL in the whole volume. */
export function shareOfLfl(share: number, lfl: number, volumeM3: number): number {
  return share * lfl * volumeM3;
}

/** EDVC = V · LFL · CF · F_occ with a concentration factor CF of 0.5. */
export function dispersalCharge(volumeM3: number, lfl: number, occupancyFactor: number): number {
  return volumeM3 * lfl * 0.5 * occupancyFactor;
}

/** A whole charge in 4 min is 15 charges an hour. */
export const LEAKS_PER_H = 15;

/** Q = 15 · m / (f · LFL): keeps the air stream at a fraction f of LFL while the charge leaks in 4 min. */
export function streamAirflow(chargeKg: number, lfl: number, fraction: number): number {
  return (LEAKS_PER_H * chargeKg) / (fraction * lfl);
}

/** Q_min = 15 · S · (m / rho), S = 4, and at the least 2 m3/h. */
export function enclosureAirflow(chargeKg: number, vapourKgPerM3: number): number {
  return Math.max(2, LEAKS_PER_H * 4 * (chargeKg / vapourKgPerM3));
}

/** Opening at the top and at the bottom each, m2: A = 0.0032 · m / (QLMV · V). */
export function naturalOpening(chargeKg: number, qlmv: number, volumeM3: number): number {
  return (0.0032 * chargeKg) / (qlmv * volumeM3);
}

/** Greatest leak of a system restricted to pinholes, kg/h. */
export const PINHOLE_KG_PER_H = 10;

/**
 * The charge whose leak at 10 kg/h just reaches the limit when it is gone,
 * m = -(10 V / Q) ln(1 - Q RCL / 10).
 * null where the airflow keeps the room below the limit however long it leaks: then any charge may be.
 */
export function mechanicalMaxCharge(volumeM3: number, airflowM3PerH: number, rcl: number): number | null {
  const share = (airflowM3PerH * rcl) / PINHOLE_KG_PER_H;
  if (share >= 1) return null;
  // Without airflow the leak just fills the room.
  if (airflowM3PerH === 0) return rcl * volumeM3;
  return (-PINHOLE_KG_PER_H * volumeM3 * Math.log1p(-share)) / airflowM3PerH;
}

/** Q = 10 / RCL: enough whatever the charge. */
export function mechanicalAirflow(rcl: number): number {
  return PINHOLE_KG_PER_H / rcl;
}
