/**
 * The ways a concentration is written, and how one becomes another at a stated temperature and pressure.
 *
 * Ideal gas throughout: Vm = R T / p, C[kg/m3] = share of the volume · M / Vm. Published pairs of LFL in
 * kg/m3 and in % of volume fit 25 °C, 101.325 kPa, which is the default. A limit is held as a share of the
 * volume: kg/m3 at 25 °C is what tables print, and elsewhere fewer kilograms of warmer air make the same
 * share. So mass and volume bases agree at every temperature.
 */
import {
  type GasAmount,
  type GasUnit,
  KG_PER_M3_PER_LB_PER_1000FT3,
  type KgPerM3,
  kgPerM3,
  type PercentLfl,
  percentLfl,
} from '../units/index.ts';

/** Molar gas constant, CODATA 2018, J/(mol K). */
export const GAS_CONSTANT = 8.314462618;
const ZERO_C_IN_K = 273.15;

export interface AirConditions {
  readonly celsius: number;
  readonly kPa: number;
}

export const STANDARD_AIR: AirConditions = { celsius: 25, kPa: 101.325 };

/** What a conversion must know of a fluid. */
export interface Fluid {
  /** Lower flammability limit, kg/m3 at 25 °C. */
  readonly lflKgPerM3: number;
  readonly molarMassGPerMol: number;
}

/** Throws RangeError at or below absolute zero, or without pressure. */
export function molarVolumeLPerMol({ celsius, kPa }: AirConditions = STANDARD_AIR): number {
  const kelvin = celsius + ZERO_C_IN_K;
  if (!(kelvin > 0 && kPa > 0 && Number.isFinite(kelvin / kPa))) {
    throw new RangeError(`molarVolume: ${celsius} °C at ${kPa} kPa`);
  }
  return (GAS_CONSTANT * kelvin) / kPa;
}

/** Molar volume of an ideal gas at 25 °C, 101.325 kPa. */
export const MOLAR_VOLUME_L_PER_MOL = molarVolumeLPerMol();

/** Density of a pure vapour from its molar mass alone (ideal gas), kg/m3. */
export function idealVapourKgPerM3(molarMassGPerMol: number, air: AirConditions = STANDARD_AIR): KgPerM3 {
  return kgPerM3(molarMassGPerMol / molarVolumeLPerMol(air));
}

/** What a written amount is in kg/m3 of this fluid in such air. */
export function toKgPerM3(amount: GasAmount, fluid: Fluid, air: AirConditions = STANDARD_AIR): KgPerM3 {
  return kgPerM3(amount.value * kgPerM3Of(amount.unit, fluid, air));
}

/** What kg/m3 of this fluid in such air are in another unit. */
export function inUnit(
  concentration: number,
  unit: GasUnit,
  fluid: Fluid,
  air: AirConditions = STANDARD_AIR,
): number {
  return concentration / kgPerM3Of(unit, fluid, air);
}

/** One of each unit in kg/m3. */
function kgPerM3Of(unit: GasUnit, fluid: Fluid, air: AirConditions): number {
  const perFraction = fluid.molarMassGPerMol / molarVolumeLPerMol(air);
  switch (unit) {
    case '%LFL':
      return (fluid.lflKgPerM3 / 100) * (MOLAR_VOLUME_L_PER_MOL / molarVolumeLPerMol(air));
    case 'ppm':
      return perFraction / 1e6;
    case '%vol':
      return perFraction / 100;
    case 'kg/m3':
      return 1;
    case 'g/m3':
      return 1e-3;
    case 'lb/1000ft3':
      return KG_PER_M3_PER_LB_PER_1000FT3;
  }
}

export function toPercentLfl(amount: GasAmount, fluid: Fluid): PercentLfl {
  return amount.unit === '%LFL' ? percentLfl(amount.value) : percentLflOf(toKgPerM3(amount, fluid), fluid);
}

/** A difference between two amounts, which may be below zero, %LFL. */
export function toPercentLflDifference(difference: GasAmount, fluid: Fluid): number {
  const { value } = difference;
  return Math.sign(value) * toPercentLfl({ ...difference, value: Math.abs(value) }, fluid);
}

/** kg/m3 → %LFL; mass and volume bases agree, because one molar volume serves both. */
export function percentLflOf(concentration: number, fluid: Fluid): PercentLfl {
  return percentLfl((100 * concentration) / fluid.lflKgPerM3);
}

/**
 * %LFL → percent of volume. Pure vapour is a little denser than the ideal gas that this conversion takes it
 * for, so that it would come out above the whole: it is 100.
 */
export function percentVolOf(gas: PercentLfl, fluid: Fluid): number {
  const ideal = (gas * fluid.lflKgPerM3 * MOLAR_VOLUME_L_PER_MOL) / fluid.molarMassGPerMol;
  return Math.min(100, ideal);
}
