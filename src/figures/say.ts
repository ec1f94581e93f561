/** Amounts in SI or inch-pound units, rounded to what their inputs are good for. */
import { KG_PER_M3_PER_LB_PER_1000FT3, parseQuantity } from '../units/index.ts';
import type { Amount, Measure, Words } from './figure.ts';

export type UnitSystem = 'si' | 'ip';

/** Unit and what one of it is in the SI unit of the measure. */
type Unit = readonly [name: string, worth: number];

const S_PER_H = 3600;
const LB_KG = worth('1 lb', 'mass');
const CFM_M3_PER_H = worth('1 cfm', 'airflow') * S_PER_H;

const SI_AND_IP: Readonly<Record<Measure, readonly [Unit, Unit]>> = {
  mass: [
    ['kg', 1],
    ['lb', LB_KG],
  ],
  massRate: [
    ['kg/h', 1],
    ['lb/h', LB_KG],
  ],
  length: [
    ['m', 1],
    ['ft', worth('1 ft', 'length')],
  ],
  area: [
    ['m2', 1],
    ['ft2', worth('1 ft2', 'area')],
  ],
  volume: [
    ['m3', 1],
    ['ft3', worth('1 ft3', 'volume')],
  ],
  airflow: [
    ['m3/h', 1],
    ['cfm', CFM_M3_PER_H],
  ],
  frequency: same('/h'),
  concentration: [
    ['kg/m3', 1],
    ['lb/1000ft3', KG_PER_M3_PER_LB_PER_1000FT3],
  ],
  molarMass: same('g/mol'),
  percentLfl: same('%LFL'),
  percentVol: same('%vol'),
  ppm: same('ppm'),
  number: same(''),
};

export interface Shown {
  readonly value: number;
  readonly unit: string;
}

/** The whole number, in the unit of the system. */
export function shown({ value, measure }: Amount, system: UnitSystem): Shown {
  const [unit, worthOfOne] = SI_AND_IP[measure][system === 'si' ? 0 : 1];
  return { value: value / worthOfOne, unit };
}

const DIGITS = 4;

/** "1.842 kg", "28.81 m2", "36100 ppm": four digits that count, without zeros that say nothing. */
export function amountText(amount: Amount, system: UnitSystem): string {
  const { value, unit } = shown(amount, system);
  const rounded = Math.abs(value) >= 10 ** DIGITS ? Math.round(value) : Number(value.toPrecision(DIGITS));
  return `${rounded} ${unit}`.trimEnd();
}

export function wordsText(words: Words, system: UnitSystem): string {
  return words.map((piece) => (typeof piece === 'string' ? piece : amountText(piece, system))).join('');
}

function same(name: string): readonly [Unit, Unit] {
  return [
    [name, 1],
    [name, 1],
  ];
}

/** A factor of src/units; its spelling is one of ours, so it is a number. */
function worth(text: string, dimension: 'mass' | 'length' | 'area' | 'volume' | 'airflow'): number {
  return Number(parseQuantity(text, dimension));
}
