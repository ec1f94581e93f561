/** The refrigerant that a rig file names, chooses a source for, or brings itself. */
import { nearestFirst } from '../files/index.ts';
import {
  blendOf,
  choosable,
  compositionProblem,
  idealVapourKgPerM3,
  type Part,
  REFRIGERANTS,
  type Refrigerant,
  type RefrigerantRow,
  refrigerantFrom,
  refrigerantNamed,
  rowNamed,
  sourceText,
  toKgPerM3,
} from '../refrigerant/index.ts';
import { kgPerM3 } from '../units/index.ts';
import type { Report } from './references.ts';
import type { RigFile } from './schema.ts';

const G_PER_KG = 1000;
/** Printed shares are rounded; a molar mass further off than this belongs to another composition. */
const MOLAR_MASS_TOLERANCE = 0.02;

/** Null, and reported, where it is none that a rig can have. */
export function refrigerantOf(written: RigFile['refrigerant'], report: Report): Refrigerant | null {
  if (typeof written === 'string') return byName(written, ['refrigerant'], report);
  if (!('lflFrom' in written)) return ownRefrigerant(written, report);
  const known = byName(written.name, ['refrigerant', 'name'], report);
  const row = known === null ? undefined : rowNamed(known.name);
  if (row === undefined) return null;
  const chosen = refrigerantFrom(row, written.lflFrom);
  if (chosen !== undefined) return chosen;
  report(['refrigerant', 'lflFrom'], noSuchSource(row, written.lflFrom));
  return null;
}

function byName(name: string, path: readonly string[], report: Report): Refrigerant | null {
  const known = refrigerantNamed(name);
  if (known === undefined) report(path, notForRigs(name));
  return known ?? null;
}

/**
 * Why a rig cannot name it. No "did you mean": the nearest number is another fluid, with another LFL, so the
 * whole list stands there, nearest in spelling first.
 */
function notForRigs(name: string): string {
  const names = nearestFirst(
    name,
    REFRIGERANTS.map((each) => each.name),
  ).join(', ');
  const advice = `write one of ${names} (nearest in spelling first; each is another fluid), or { name, lfl, molarMass, source }`;
  const row = rowNamed(name);
  if (row === undefined) return `"${name}" is not in the table of A2L refrigerants; ${advice}`;
  const why = row.safetyClass === 'A1' ? 'class A1, which does not burn' : `class ${row.safetyClass}`;
  return `"${name}" is of ${why}, and a rig takes class A2L; ${advice}`;
}

/** What a rig may follow instead, each with its value and source. */
export function noSuchSource(row: RefrigerantRow, id: string): string {
  const there = choosable(row).map(
    ({ id: known, amount }) => `${known} (${amount.value} ${amount.unit}, ${sourceText(known)})`,
  );
  return `"${id}" is not a published LFL of ${row.name} here; write one of ${there.join(', ')}`;
}

type OwnRefrigerant = Extract<RigFile['refrigerant'], { readonly lfl: unknown }>;

/** Null, and reported, where the LFL is none that a vapour of this molar mass can have. */
function ownRefrigerant(written: OwnRefrigerant, report: Report): Refrigerant | null {
  const molarMassGPerMol = written.molarMass * G_PER_KG;
  const vapourKgPerM3 = idealVapourKgPerM3(molarMassGPerMol);
  const path = ['refrigerant', 'lfl'];
  if (written.lfl.unit === '%LFL') {
    report(path, 'cannot be given in %LFL; write kg/m3, g/m3, lb/1000ft3, %vol or ppm');
    return null;
  }
  const { name, source } = written;
  const parts = Object.entries(written.composition ?? {}).map(([part, massPercent]) => ({
    name: part,
    massPercent,
  }));
  if (parts.length > 0 && !fits(parts, molarMassGPerMol, report)) return null;
  const made = { name, source, molarMassGPerMol, vapourKgPerM3, lflKgPerM3: kgPerM3(0) };
  const lflKgPerM3 = toKgPerM3(written.lfl, made);
  if (lflKgPerM3 > 0 && lflKgPerM3 < vapourKgPerM3) {
    return { ...made, lflKgPerM3, ...(parts.length > 0 ? { parts } : {}) };
  }
  report(
    path,
    `takes more than zero and less than the pure vapour, ${vapourKgPerM3.toFixed(3)} kg/m3 at 25 °C`,
  );
  return null;
}

/** Whether a composition adds up, and to the molar mass that stands beside it. */
function fits(parts: readonly Part[], molarMassGPerMol: number, report: Report): boolean {
  const problem = compositionProblem(parts);
  if (problem !== null) {
    report(['refrigerant', 'composition'], problem);
    return false;
  }
  const computed = blendOf(parts).molarMassGPerMol;
  if (Math.abs(molarMassGPerMol / computed - 1) <= MOLAR_MASS_TOLERANCE) return true;
  report(
    ['refrigerant', 'molarMass'],
    `${Number(molarMassGPerMol.toFixed(2))} g/mol does not fit the composition, which makes ${computed.toFixed(2)} g/mol`,
  );
  return false;
}
