/**
 * Sizes as a person wants to read them: in SI, or in inch-pound units. Only what is shown is converted;
 * inside and in files every number keeps its own unit. Gas stays in %LFL in both, and so does time.
 *
 * Factors are the exact definitions of NIST SP 811 (2008), appendix B.8: 1 ft = 0.3048 m, 1 lb =
 * 0.453 592 37 kg. The page cannot afford the library that reads quantities, so they stand here
 * and a test holds them to it.
 */

export const UNIT_SYSTEMS = ['si', 'inchPound'] as const;
export type UnitSystem = (typeof UNIT_SYSTEMS)[number];

const M_PER_FT = 0.3048;
const KG_PER_LB = 0.45359237;
const G_PER_KG = 1000;
const S_PER_MIN = 60;
const MIN_PER_H = 60;

interface Shown {
  readonly unit: string;
  /** How many of these one SI unit is. */
  readonly factor: number;
  readonly digits: number;
}

/** By what is measured: as we hold it, and as it is shown. */
const SHOWN = {
  kg: {
    si: { unit: 'kg', factor: 1, digits: 2 },
    inchPound: { unit: 'lb', factor: 1 / KG_PER_LB, digits: 2 },
  },
  gPerS: {
    si: { unit: 'g/s', factor: 1, digits: 1 },
    inchPound: { unit: 'lb/min', factor: S_PER_MIN / (KG_PER_LB * G_PER_KG), digits: 2 },
  },
  m: { si: { unit: 'm', factor: 1, digits: 2 }, inchPound: { unit: 'ft', factor: 1 / M_PER_FT, digits: 1 } },
  m2: {
    si: { unit: 'm2', factor: 1, digits: 1 },
    inchPound: { unit: 'ft2', factor: 1 / M_PER_FT ** 2, digits: 0 },
  },
  m3: {
    si: { unit: 'm3', factor: 1, digits: 2 },
    inchPound: { unit: 'ft3', factor: 1 / M_PER_FT ** 3, digits: 1 },
  },
  m3PerH: {
    si: { unit: 'm3/h', factor: 1, digits: 0 },
    inchPound: { unit: 'cfm', factor: 1 / (M_PER_FT ** 3 * MIN_PER_H), digits: 0 },
  },
  kgPerM3: {
    si: { unit: 'kg/m3', factor: 1, digits: 3 },
    inchPound: { unit: 'lb/1000ft3', factor: (1000 * M_PER_FT ** 3) / KG_PER_LB, digits: 1 },
  },
} as const satisfies Record<string, Readonly<Record<UnitSystem, Shown>>>;

export type ShownSize = keyof typeof SHOWN;

/** 4.2, "kg" → "4.2 kg" or "9.26 lb". */
export function formatSize(value: number, size: ShownSize, system: UnitSystem): string {
  const { unit, factor, digits } = SHOWN[size][system];
  return `${roundedTo(value * factor, digits)} ${unit}`;
}

function roundedTo(value: number, digits: number): number {
  const scale = 10 ** digits;
  // Never "-0", which a small negative number would round to.
  return Math.round(value * scale) / scale + 0;
}
