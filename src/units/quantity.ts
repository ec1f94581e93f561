/**
 * Quantities as people write them: a number, then a unit ("4.2 kg", "530 cfm", "20 %LFL").
 *
 * The table below lists, for each dimension, the spellings we take and the expression that js-quantities
 * (the source of every conversion factor) knows them by. Gas amounts are ours: what they are in kg/m3
 * depends on the refrigerant, so they stay {value, unit} until a refrigerant is at hand.
 */
import Qty from 'js-quantities';

/** Spelling → js-quantities expression; the first spelling of a row is the one we print. */
const SPELLINGS = {
  mass: { kg: 'kg', g: 'g', lb: 'lb', oz: 'oz' },
  massRate: { 'g/s': 'g/s', 'kg/s': 'kg/s', 'kg/h': 'kg/h', 'kg/min': 'kg/min', 'lb/min': 'lb/min', 'lb/h': 'lb/h' },
  length: { m: 'm', cm: 'cm', mm: 'mm', ft: 'ft', in: 'in' },
  area: { m2: 'm2', ft2: 'ft2' },
  volume: { m3: 'm3', ft3: 'ft3', l: 'l' },
  airflow: { 'm3/h': 'm3/h', 'm3/s': 'm3/s', 'm3/min': 'm3/min', 'l/s': 'l/s', cfm: 'ft3/min' },
  frequency: { '/h': '1/h', '/min': '1/min', '/s': '1/s' },
  time: { s: 's', ms: 'ms', min: 'min', h: 'h', days: 'day', years: 'year' },
} as const;

/** What one unit of each dimension is inside: kg, kg/s, m, m2, m3, m3/s, 1/s; time alone is in ms. */
export type Dimension = keyof typeof SPELLINGS;

/** A gas amount as written; percentLfl and kg/m3 follow once the refrigerant is known. */
export interface GasAmount {
  readonly value: number;
  readonly unit: GasUnit;
}
export const GAS_UNITS = ['%LFL', 'ppm', '%vol', 'kg/m3', 'g/m3'] as const;
export type GasUnit = (typeof GAS_UNITS)[number];

/** Why a text is no quantity: our own sentence, ready to stand behind file, line and column. */
export interface NotAQuantity {
  readonly problem: string;
}

const WRITTEN = /^([+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)\s*(.*)$/u;
const MS_PER_S = 1000;

/** Factor from each spelling to the dimension's own unit, worked out once. */
const FACTORS: ReadonlyMap<Dimension, ReadonlyMap<string, number>> = new Map(
  (Object.keys(SPELLINGS) as Dimension[]).map((dimension) => [dimension, factorsOf(dimension)]),
);

function factorsOf(dimension: Dimension): ReadonlyMap<string, number> {
  const inMs = dimension === 'time' ? MS_PER_S : 1;
  return new Map(
    Object.entries(SPELLINGS[dimension]).map(([spelling, expression]) => [
      spelling,
      Qty(1, expression).toBase().scalar * inMs,
    ]),
  );
}

/** Units that a dimension takes, as we print them in errors. */
export function unitsOf(dimension: Dimension | 'gas'): readonly string[] {
  return dimension === 'gas' ? GAS_UNITS : Object.keys(SPELLINGS[dimension]);
}

/** Reads "4.2 kg" as a number in the dimension's own unit (see Dimension), or says why it cannot. */
export function parseQuantity(text: unknown, dimension: Dimension): number | NotAQuantity {
  const written = split(text, dimension);
  if ('problem' in written) return written;
  const factor = FACTORS.get(dimension)?.get(written.unit);
  return factor === undefined ? unknownUnit(written.unit, dimension) : written.value * factor;
}

/** Reads "20 %LFL", "36000 ppm", "2.5 %vol"; a concentration is never negative. */
export function parseGasAmount(text: unknown): GasAmount | NotAQuantity {
  const written = split(text, 'gas');
  if ('problem' in written) return written;
  const unit = GAS_UNITS.find((known) => known.toLowerCase() === written.unit.replace(/\s/gu, '').toLowerCase());
  if (unit === undefined) return unknownUnit(written.unit, 'gas');
  if (written.value < 0) return { problem: `a concentration cannot be negative (${String(text)})` };
  return { value: written.value, unit };
}

function split(text: unknown, dimension: Dimension | 'gas'): { value: number; unit: string } | NotAQuantity {
  if (typeof text === 'number') {
    return { problem: `${text} needs its unit: ${example(text, dimension)}` };
  }
  const match = typeof text === 'string' ? WRITTEN.exec(text.trim()) : null;
  if (match?.[1] === undefined || match[2] === undefined) {
    return { problem: `expected a number and a unit, such as ${example(1, dimension)}` };
  }
  const value = Number(match[1]);
  if (match[2] === '') return { problem: `${match[1]} needs its unit: ${example(value, dimension)}` };
  return { value, unit: match[2] };
}

function unknownUnit(unit: string, dimension: Dimension | 'gas'): NotAQuantity {
  return { problem: `"${unit}" is not a unit it takes; write one of ${unitsOf(dimension).join(', ')}` };
}

function example(value: number, dimension: Dimension | 'gas'): string {
  const [first, ...others] = unitsOf(dimension);
  return `"${value} ${first ?? ''}" (units it takes: ${[first, ...others].join(', ')})`;
}
