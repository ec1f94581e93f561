/**
 * Refrigerants the bench knows by name, and the conversions between the ways a concentration is written.
 *
 * LFL and molar mass: Real Decreto 552/2019, instruction IF-02 (text seen; national law on EN 378 / ISO 817).
 * Vapour density: CoolProp 8.0.0 reference equations of state at 25 °C, 101.325 kPa (computed).
 * Standards disagree about the LFL of blends; a rig may give {name, lfl, molarMass, source} instead.
 */
import { type GasAmount, type KgPerM3, kgPerM3, type PercentLfl, percentLfl } from '../units/index.ts';

export interface Refrigerant {
  readonly name: string;
  /** Lower flammability limit, kg/m3 at 25 °C. */
  readonly lflKgPerM3: KgPerM3;
  readonly molarMassGPerMol: number;
  /** Density of the pure vapour, kg/m3 at 25 °C, 101.325 kPa: no concentration can exceed it. */
  readonly vapourKgPerM3: KgPerM3;
  readonly source: string;
}

/** Molar volume of an ideal gas at 25 °C, 101.325 kPa: 8.314462618 · 298.15 / 101.325 l/mol. */
export const MOLAR_VOLUME_L_PER_MOL = (8.314462618 * 298.15) / 101.325;

const SOURCE = 'LFL: RD 552/2019 IF-02 (seen); vapour density: CoolProp 8.0.0 at 25 °C (computed)';

/** name, LFL kg/m3, molar mass g/mol, vapour density kg/m3. */
const TABLE: readonly (readonly [string, number, number, number])[] = [
  ['R-32', 0.307, 52.0, 2.1531],
  ['R-1234yf', 0.289, 114, 4.7664],
  ['R-1234ze(E)', 0.303, 114, 4.7743],
  ['R-452B', 0.31, 63.5, 2.6313],
  ['R-454A', 0.278, 80.5, 3.3399],
  ['R-454B', 0.301, 62.6, 2.5936],
  ['R-454C', 0.291, 90.8, 3.7738],
  ['R-455A', 0.423, 87.5, 3.632],
];

/** The A2L refrigerants that a rig may name, as they are written. */
export const REFRIGERANTS: readonly Refrigerant[] = TABLE.map(([name, lfl, molarMass, vapour]) => ({
  name,
  lflKgPerM3: kgPerM3(lfl),
  molarMassGPerMol: molarMass,
  vapourKgPerM3: kgPerM3(vapour),
  source: SOURCE,
}));

/** Finds "R-32", "r32" or "R 32"; undefined where no row has that name. */
export function refrigerantNamed(name: string): Refrigerant | undefined {
  const plain = (text: string): string => text.toLowerCase().replace(/[\s-]/gu, '');
  return REFRIGERANTS.find((known) => plain(known.name) === plain(name));
}

/** Density of a pure vapour from its molar mass alone (ideal gas, 25 °C), kg/m3. */
export function idealVapourKgPerM3(molarMassGPerMol: number): KgPerM3 {
  return kgPerM3(molarMassGPerMol / MOLAR_VOLUME_L_PER_MOL);
}

/** What a written amount is in kg/m3 of this refrigerant (25 °C, 101.325 kPa). */
export function toKgPerM3(amount: GasAmount, refrigerant: Refrigerant): KgPerM3 {
  const perFraction = refrigerant.molarMassGPerMol / MOLAR_VOLUME_L_PER_MOL;
  switch (amount.unit) {
    case '%LFL':
      return kgPerM3((amount.value / 100) * refrigerant.lflKgPerM3);
    case 'ppm':
      return kgPerM3((amount.value / 1e6) * perFraction);
    case '%vol':
      return kgPerM3((amount.value / 100) * perFraction);
    case 'kg/m3':
      return kgPerM3(amount.value);
    case 'g/m3':
      return kgPerM3(amount.value / 1000);
  }
}

export function toPercentLfl(amount: GasAmount, refrigerant: Refrigerant): PercentLfl {
  return amount.unit === '%LFL'
    ? percentLfl(amount.value)
    : percentLflOf(toKgPerM3(amount, refrigerant), refrigerant);
}

/** kg/m3 → %LFL; mass and volume bases agree, because one molar volume serves both. */
export function percentLflOf(concentration: number, refrigerant: Refrigerant): PercentLfl {
  return percentLfl((100 * concentration) / refrigerant.lflKgPerM3);
}

/**
 * %LFL → percent of volume. Pure vapour is a little denser than the ideal gas that this conversion takes it
 * for, so that it would come out above the whole: it is 100.
 */
export function percentVolOf(gas: PercentLfl, refrigerant: Refrigerant): number {
  const ideal = (gas * refrigerant.lflKgPerM3 * MOLAR_VOLUME_L_PER_MOL) / refrigerant.molarMassGPerMol;
  return Math.min(100, ideal);
}
