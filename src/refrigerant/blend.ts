/**
 * What the composition of a blend says of it: molar mass, mole fractions, and by Le Chatelier's rule a lower
 * flammability limit, to stand beside what is published. Computed; a published limit is of the worst
 * composition within tolerance, so the two differ.
 */
import { MOLAR_VOLUME_L_PER_MOL } from './concentration.ts';
import type { Part, RefrigerantRow } from './row.ts';
import { ROWS } from './table.ts';

/** A fluid that blends are made of. */
interface PureFluid {
  readonly molarMassGPerMol: number;
  /** null where it does not burn. */
  readonly lflPercentVol: number | null;
}

/** Parts that do not burn have no row of their own: molar masses of CoolProp 8.0.0 (computed). */
const INERT: readonly (readonly [string, PureFluid])[] = [
  ['R-125', { molarMassGPerMol: 120.0214, lflPercentVol: null }],
  ['R-744', { molarMassGPerMol: 44.0098, lflPercentVol: null }],
];

const PURE: ReadonlyMap<string, PureFluid> = new Map([...ROWS.flatMap(pureOf), ...INERT]);

/** Every fluid that a composition may name. */
export const PURE_NAMES: readonly string[] = [...PURE.keys()];

export interface Blend {
  readonly molarMassGPerMol: number;
  readonly moleFractions: readonly { readonly name: string; readonly fraction: number }[];
  /** By Le Chatelier, 25 °C; null where no part burns. */
  readonly lfl: { readonly percentVol: number; readonly kgPerM3: number } | null;
}

/** Throws RangeError on a part that is not a pure fluid of the table, or shares that do not add up. */
export function blendOf(parts: readonly Part[]): Blend {
  const moles = parts.map(({ name, massPercent }) => {
    const { molarMassGPerMol, lflPercentVol } = pure(name);
    return { name, lflPercentVol, amount: massPercent / molarMassGPerMol };
  });
  const problem = sumProblem(parts);
  if (problem !== null) throw new RangeError(`blendOf: ${problem}`);
  const sum = moles.reduce((total, { amount }) => total + amount, 0);
  const mass = parts.reduce((total, { massPercent }) => total + massPercent, 0);
  const molarMassGPerMol = mass / sum;
  // LFL of the mix = 1 / sum(x / LFL) over the parts that burn, x of the whole mix.
  const burning = moles.reduce(
    (total, { amount, lflPercentVol }) =>
      lflPercentVol === null ? total : total + amount / sum / lflPercentVol,
    0,
  );
  return {
    molarMassGPerMol,
    moleFractions: moles.map(({ name, amount }) => ({ name, fraction: amount / sum })),
    lfl: burning === 0 ? null : lflOf(1 / burning, molarMassGPerMol),
  };
}

/** Rounding of printed shares; more than that is a slip of the pen. */
const SUM_TOLERANCE = 0.1;
const DUST = 1e-9;

/** Why these are no composition, as a sentence; null where they are one. */
export function compositionProblem(parts: readonly Part[]): string | null {
  const unknown = parts.find(({ name }) => !PURE.has(name));
  if (unknown !== undefined) {
    return `"${unknown.name}" is not a pure fluid of the table; write ${PURE_NAMES.join(', ')}`;
  }
  return sumProblem(parts);
}

/** Apart from unknown names, which a caller may have settled already. */
function sumProblem(parts: readonly Part[]): string | null {
  const sum = parts.reduce((total, { massPercent }) => total + massPercent, 0);
  if (Math.abs(sum - 100) <= SUM_TOLERANCE + DUST) return null;
  return `adds up to ${Number(sum.toFixed(3))} % of the mass; the parts must make 100 %, give or take 0.1`;
}

/** The molar mass is that of the whole mix: parts that do not burn weigh too. */
function lflOf(percentVol: number, molarMass: number): { percentVol: number; kgPerM3: number } {
  return { percentVol, kgPerM3: ((percentVol / 100) * molarMass) / MOLAR_VOLUME_L_PER_MOL };
}

function pure(name: string): PureFluid {
  const found = PURE.get(name);
  if (found === undefined) throw new RangeError(`pure: ${name}`);
  return found;
}

/** A row of its own only part, with the LFL that is published in % of volume. */
function pureOf({ name, parts, lfls, facts }: RefrigerantRow): [string, PureFluid][] {
  const molarMassGPerMol = facts.molarMass.coolprop;
  const inPercent = lfls.find(({ amount }) => amount.unit === '%vol');
  if (parts.length !== 1 || molarMassGPerMol === undefined || inPercent === undefined) return [];
  return [[name, { molarMassGPerMol, lflPercentVol: inPercent.amount.value }]];
}
