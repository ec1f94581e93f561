/**
 * QLMV: the quantity, per m3 of room, that may leak before the limit is reached where a gap under the door
 * lets the heavier mixture out (RD 552/2019 IF-04 Appendix 4, as EN 378-1 Annex C.3; seen).
 *
 *     dx/ds = m − x A c √(2 (1 − ρa/ρ) h g),   ρ = x + ρa − x ρa/ρr,   x(0) = 0,   QLMV = m s where x = RCL
 *
 * with a leak m of 10 kg/h, an opening A of 0.8 m door and 4 mm gap, height h of 2.2 m. Since the right side
 * depends on x alone, s is an integral over x: no step has to be chosen in time.
 */
import { MOLAR_VOLUME_L_PER_MOL } from '../refrigerant/index.ts';

const LEAK_KG_PER_S = 0.00278;
const OPENING_M2 = 0.0032;
const FLOW_FACTOR = 1;
const HEIGHT_M = 2.2;
const GRAVITY_M_PER_S2 = 9.81;
/** EN 378 reckons air at 29 g/mol, at 25 °C. */
const AIR_KG_PER_M3 = 29 / MOLAR_VOLUME_L_PER_MOL;
/** The integrand rises steeply as the outflow nears the leak; so many panels keep 3 decimals there too. */
const PANELS = 20_000;

/** What flows out through the gap at a concentration x of a vapour of this molar mass, kg/s. */
export function outflowKgPerS(x: number, molarMassGPerMol: number): number {
  const vapour = molarMassGPerMol / MOLAR_VOLUME_L_PER_MOL;
  const mix = x + AIR_KG_PER_M3 - (x * AIR_KG_PER_M3) / vapour;
  const push = Math.max(0, 2 * (1 - AIR_KG_PER_M3 / mix) * HEIGHT_M * GRAVITY_M_PER_S2);
  return x * OPENING_M2 * FLOW_FACTOR * Math.sqrt(push);
}

/** kg/m3; null where the leak and the gap balance below the limit, so that it is never reached. */
export function qlmv(rcl: number, molarMassGPerMol: number): number | null {
  if (outflowKgPerS(rcl, molarMassGPerMol) >= LEAK_KG_PER_S) return null;
  const perKg = (x: number): number => LEAK_KG_PER_S / (LEAK_KG_PER_S - outflowKgPerS(x, molarMassGPerMol));
  // Simpson's rule.
  const width = rcl / PANELS;
  let sum = perKg(0) + perKg(rcl);
  for (let panel = 1; panel < PANELS; panel += 1) sum += (panel % 2 === 1 ? 4 : 2) * perKg(panel * width);
  return (sum * width) / 3;
}
