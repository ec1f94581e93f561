/**
 * What the bench computes with: one refrigerant with one LFL, whose source is named.
 *
 * Standards disagree about the LFL of a fluid. The one followed by default is that of Real Decreto 552/2019,
 * instruction IF-02 (text seen; national law on EN 378 / ISO 817); a rig may follow another of the table, or
 * bring its own {name, lfl, molarMass, source}.
 */
import { type KgPerM3, kgPerM3 } from '../units/index.ts';
import { toKgPerM3 } from './concentration.ts';
import type { LflRecord, Part, RefrigerantRow } from './row.ts';
import { type SourceId, sourceText } from './sources.ts';
import { ROWS } from './table.ts';

export interface Refrigerant {
  readonly name: string;
  /** Lower flammability limit, kg/m3 at 25 °C. */
  readonly lflKgPerM3: KgPerM3;
  readonly molarMassGPerMol: number;
  /** Density of the pure vapour, kg/m3 at 25 °C, 101.325 kPa: no concentration can exceed it. */
  readonly vapourKgPerM3: KgPerM3;
  readonly source: string;
  /** Of a user's own blend, where told; a refrigerant of the table has it in its row. */
  readonly parts?: readonly Part[];
}

const SOURCE_OF_VAPOUR = 'vapour density: CoolProp 8.0.0 at 25 °C (computed)';

/** The A2L refrigerants that a rig may name, as they are written, each with its default LFL. */
export const REFRIGERANTS: readonly Refrigerant[] = ROWS.filter(
  ({ safetyClass }) => safetyClass === 'A2L',
).flatMap((row) => row.lfls.slice(0, 1).map((first) => made(row, first)));

/** Finds "R-32", "r32" or "R 32" among those a rig may name; undefined where no row has that name. */
export function refrigerantNamed(name: string): Refrigerant | undefined {
  return REFRIGERANTS.find((known) => plain(known.name) === plain(name));
}

/** The same of the whole table, whatever the class. */
export function rowNamed(name: string): RefrigerantRow | undefined {
  return ROWS.find((known) => plain(known.name) === plain(name));
}

/** A refrigerant of the table with the LFL of one of its sources; undefined where it has none of that id. */
export function refrigerantFrom(row: RefrigerantRow, id: string): Refrigerant | undefined {
  const record = choosable(row).find((one) => one.id === id);
  return record === undefined ? undefined : made(row, record);
}

/** The LFLs that a rig may follow: % of volume of a vapour other than its own says no kg/m3 of a blend. */
export function choosable({ lfls }: RefrigerantRow): readonly LflRecord[] {
  return lfls.filter(({ amount, note }) => amount.unit === 'kg/m3' || note === null);
}

/** The row and the record that a refrigerant was made of; null for one that a rig brought itself. */
export function recordOf(
  refrigerant: Refrigerant,
): { readonly row: RefrigerantRow; readonly record: LflRecord } | null {
  for (const row of ROWS.filter(({ name }) => name === refrigerant.name)) {
    const record = choosable(row).find((one) => made(row, one).source === refrigerant.source);
    if (record !== undefined) return { row, record };
  }
  return null;
}

function made(row: RefrigerantRow, { id, amount, note }: LflRecord): Refrigerant {
  const { molarMass, vapour } = row.facts;
  const [molarMassGPerMol, vapourKgPerM3] = [molarMass.rd552, vapour.coolprop];
  if (molarMassGPerMol === undefined || vapourKgPerM3 === undefined) {
    throw new RangeError(`made: ${row.name} lacks its molar mass or vapour density`);
  }
  const lflKgPerM3 = toKgPerM3(amount, { lflKgPerM3: 0, molarMassGPerMol });
  const remark = note === null ? '' : `, ${note}`;
  return {
    name: row.name,
    lflKgPerM3,
    molarMassGPerMol,
    vapourKgPerM3: kgPerM3(vapourKgPerM3),
    source: `LFL: ${lflSource(id)}${remark}; ${SOURCE_OF_VAPOUR}`,
  };
}

/** Two records of one text differ in their unit or value, so the id goes with all but the default. */
function lflSource(id: SourceId): string {
  return id === 'rd552' ? sourceText(id) : `${sourceText(id)}, record ${id}`;
}

function plain(text: string): string {
  return text.toLowerCase().replace(/[\s-]/gu, '');
}
