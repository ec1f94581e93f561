/**
 * Quantities as people write them: a number, then a unit ("4.2 kg", "530 cfm", "20 %LFL").
 *
 * The table below lists, for each dimension, the spellings we take and the expression that js-quantities
 * (the source of every conversion factor) knows them by. Gas amounts are ours: what they are in kg/m3
 * depends on the refrigerant, so they stay {value, unit} until a refrigerant is at hand.
 */
import Qty from 'js-quantities';

/**
 * Spelling → js-quantities expression; the first spelling of a row is the one we print. Three are spelled
 * out: its own ounce is rounded to nine digits (16 oz make a pound), its psi to six (0.45359237 kg at
 * 9.80665 m/s2 on a square inch), and its year is not the Julian one.
 */
const SPELLINGS = {
  mass: { kg: 'kg', g: 'g', lb: 'lb', oz: '0.0625 lb' },
  massRate: {
    'g/s': 'g/s',
    'g/min': 'g/min',
    'kg/s': 'kg/s',
    'kg/h': 'kg/h',
    'kg/min': 'kg/min',
    'lb/min': 'lb/min',
    'lb/h': 'lb/h',
  },
  length: { m: 'm', cm: 'cm', mm: 'mm', ft: 'ft', in: 'in' },
  area: { m2: 'm2', ft2: 'ft2' },
  volume: { m3: 'm3', ft3: 'ft3', l: 'l' },
  airflow: { 'm3/h': 'm3/h', 'm3/s': 'm3/s', 'm3/min': 'm3/min', 'l/s': 'l/s', cfm: 'ft3/min' },
  frequency: { '/h': '1/h', '/min': '1/min', '/s': '1/s' },
  /** Absolute. */
  pressure: { bar: 'bar', kPa: 'kPa', MPa: 'MPa', psi: '4.4482216152605 N/in2' },
  molarMass: { 'g/mol': 'g/mol', 'kg/kmol': 'kg/kmol' },
  time: { s: 's', ms: 'ms', min: 'min', h: 'h', days: 'day', years: '365.25 day' },
  storage: { MiB: 'MiB', GiB: 'GiB', MB: 'MB', GB: 'GB' },
} as const;

/** What one unit of each is inside: kg, kg/s, m, m2, m3, m3/s, 1/s, Pa, kg/mol, byte; time alone is in ms. */
export type Dimension = keyof typeof SPELLINGS;

/** A gas amount as written; percentLfl and kg/m3 follow once the refrigerant is known. */
export interface GasAmount {
  readonly value: number;
  readonly unit: GasUnit;
}
export const GAS_UNITS = ['%LFL', 'ppm', '%vol', 'kg/m3', 'g/m3', 'lb/1000ft3'] as const;
export type GasUnit = (typeof GAS_UNITS)[number];

/** One pound in a thousand cubic feet, kg/m3. */
export const KG_PER_M3_PER_LB_PER_1000FT3 = Qty('0.001 lb/ft3').toBase().scalar;

/** Why a text is no quantity: our own sentence, ready to stand behind file, line and column. */
export interface NotAQuantity {
  readonly problem: string;
}

const WRITTEN = /^([+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)\s*(.*)$/u;
/** What is left behind the digits of "4,2 kg", "36,000 ppm" or "36 000 ppm". */
const BROKEN_NUMBER = /^[\d.,]/u;
/** And behind those of "9 lb 3 oz", "8'2" or "0:25:00". */
const SECOND_NUMBER = /[\s'":]\d/u;
/** More than pure vapour in any unit; a million ppm are all there is. */
const GAS_MOST = 1e6;
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
      Qty(expression).toBase().scalar * inMs,
    ]),
  );
}

/** Units that a dimension takes, as we print them in errors. */
export function unitsOf(dimension: Dimension | 'gas'): readonly [string, ...string[]] {
  return dimension === 'gas' ? GAS_UNITS : (Object.keys(SPELLINGS[dimension]) as [string, ...string[]]);
}

/** Reads "4.2 kg" as a number in the dimension's own unit (see Dimension), or says why it cannot. */
export function parseQuantity(text: unknown, dimension: Dimension): number | NotAQuantity {
  const written = split(text, dimension);
  if ('problem' in written) return written;
  const factor = FACTORS.get(dimension)?.get(written.unit);
  if (factor === undefined) return unknownUnit(written.unit, dimension);
  const value = written.value * factor;
  return Number.isFinite(value) ? value : outOfRange(text);
}

/** Reads "20 %LFL", "36000 ppm", "2.5 %vol"; a concentration is never negative. */
export function parseGasAmount(text: unknown): GasAmount | NotAQuantity {
  const written = split(text, 'gas');
  if ('problem' in written) return written;
  const unit = GAS_UNITS.find(
    (known) => known.toLowerCase() === written.unit.replace(/\s/gu, '').toLowerCase(),
  );
  if (unit === undefined) return unknownUnit(written.unit, 'gas');
  if (written.value < 0) return { problem: 'takes zero or more; a concentration cannot be negative' };
  if (written.value > GAS_MOST) return outOfRange(text);
  return { value: written.value, unit };
}

function outOfRange(text: unknown): NotAQuantity {
  return { problem: `${String(text)} is out of all range; check the number and its unit` };
}

function split(text: unknown, dimension: Dimension | 'gas'): { value: number; unit: string } | NotAQuantity {
  if (typeof text === 'number' && Number.isFinite(text)) {
    return { problem: `${text} needs its unit, such as ${example(text, dimension)}` };
  }
  const match = typeof text === 'string' ? WRITTEN.exec(text.trim()) : null;
  if (match?.[1] === undefined || match[2] === undefined) {
    return { problem: `takes a number and a unit, such as ${example(1, dimension)}` };
  }
  const value = Number(match[1]);
  if (match[2] === '') return { problem: `${match[1]} needs its unit, such as ${example(value, dimension)}` };
  if (BROKEN_NUMBER.test(match[2])) {
    return { problem: `"${match.input}": write the number in one piece, with a point before its decimals` };
  }
  if (SECOND_NUMBER.test(match[2])) {
    return {
      problem: `"${match.input}": write one number with one unit, one of ${unitsOf(dimension).join(', ')}`,
    };
  }
  return { value, unit: match[2] };
}

function unknownUnit(unit: string, dimension: Dimension | 'gas'): NotAQuantity {
  return { problem: `"${unit}" is not a unit it takes; write one of ${unitsOf(dimension).join(', ')}` };
}

function example(value: number, dimension: Dimension | 'gas'): string {
  const units = unitsOf(dimension);
  return `"${value} ${units[0]}" (units it takes: ${units.join(', ')})`;
}
