/**
 * Vapour out of a hole, from a vessel under pressure.
 *
 * While the pressure is more than about twice that outside, the vapour passes the hole at the speed of sound
 * (choked), and the mass flow is that of an ideal gas through an orifice (textbook; the same formula stands
 * in IEC 60079-10-1, annex B: memory):
 *
 *     m' = Cd A p sqrt(kappa M / (R T)) (2 / (kappa + 1))^((kappa + 1) / (2 (kappa - 1)))
 *
 * Liquid beside the vapour boils and keeps the pressure, and with it the flow (a modelling choice: in truth
 * the liquid cools and the pressure falls). Once it is gone, the vapour left expands at an even temperature:
 * pressure and flow fall with the mass, so exponentially (choked isothermal blow-down, textbook). That is
 * kept up down to the pressure outside, where it ends; the last of it, no longer choked, would be slower.
 */
import { GAS_CONSTANT } from '../../src/refrigerant/index.ts';
import type { Fall } from './outflows.ts';

export interface Vessel {
  readonly holeM: number;
  /** Absolute. */
  readonly pressurePa: number;
  /** Of the vapour, when the liquid is gone. */
  readonly volumeM3: number;
  readonly molarMassGPerMol: number;
}

const ATMOSPHERE_PA = 101_325;
/** 25 °C. */
const TEMPERATURE_K = 298.15;
const G_PER_KG = 1000;
/** Ratio of heat capacities: A2L vapours lie between 1.1 and 1.3 at 25 °C (memory); it moves m' by 4 %. */
const KAPPA = 1.2;
/** Of a sharp-edged hole: 0.5 to 0.75, of a rounded one 0.95 to 0.99 (IEC 60079-10-1, annex B: memory). */
const DISCHARGE = 0.75;

/** The whole charge through a hole; its rate while there is liquid, and the vapour that is left after it. */
export function fallOfHole(vessel: Vessel): Fall {
  const fromKg = vapourKgOf(vessel);
  const toKg = (fromKg * ATMOSPHERE_PA) / vessel.pressurePa;
  return { rateKgPerS: chokedKgPerS(vessel), ofKg: null, fromKg, toKg };
}

function chokedKgPerS({ holeM, pressurePa, molarMassGPerMol }: Vessel): number {
  const areaM2 = (Math.PI / 4) * holeM ** 2;
  const sonic = Math.sqrt((KAPPA * (molarMassGPerMol / G_PER_KG)) / (GAS_CONSTANT * TEMPERATURE_K));
  const throat = (2 / (KAPPA + 1)) ** ((KAPPA + 1) / (2 * (KAPPA - 1)));
  return DISCHARGE * areaM2 * pressurePa * sonic * throat;
}

/** Below this the vapour leaves slower than sound, and the formula does not hold. */
export function chokedAbovePa(): number {
  return ATMOSPHERE_PA * ((KAPPA + 1) / 2) ** (KAPPA / (KAPPA - 1));
}

/** As an ideal gas: p V M / (R T). */
function vapourKgOf({ pressurePa, volumeM3, molarMassGPerMol }: Vessel): number {
  return (pressurePa * volumeM3 * (molarMassGPerMol / G_PER_KG)) / (GAS_CONSTANT * TEMPERATURE_K);
}
