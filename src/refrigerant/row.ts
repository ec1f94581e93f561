/**
 * What a row of the refrigerant table holds, and the short form in which table.ts writes it.
 *
 * Blank where nothing was read: a number that nobody printed is not there, rather than zero.
 */
import { type GasAmount, parseGasAmount } from '../units/index.ts';
import type { SourceId } from './sources.ts';

/** Of ISO 817: toxicity A or B; flammability 1 (none), 2L, 2, 3. */
export type SafetyClass = 'A1' | 'A2L' | 'A2' | 'A3' | 'B2L';

/** A component of a blend, by its share of the mass. */
export interface Part {
  readonly name: string;
  readonly massPercent: number;
}

/** A published lower flammability limit, in the unit it is printed in (25 °C). */
export interface LflRecord {
  readonly id: SourceId;
  readonly amount: GasAmount;
  /** What to know before relying on it; null where there is nothing. */
  readonly note: string | null;
}

type BySource<Value> = Partial<Readonly<Record<SourceId, Value>>>;

export interface RefrigerantRow {
  readonly name: string;
  readonly safetyClass: SafetyClass;
  /** A pure fluid is its own only part. */
  readonly parts: readonly Part[];
  /** The first is the one followed by default; none where the fluid does not burn. */
  readonly lfls: readonly LflRecord[];
  readonly facts: RowFacts;
}

export interface RowFacts {
  /** g/mol. */
  readonly molarMass: BySource<number>;
  /** Scatter of what is published, % of volume (memory). */
  readonly uflPercentVol?: readonly [number, number];
  readonly boilingC?: BySource<number>;
  readonly bubbleDewC?: BySource<readonly [number, number]>;
  /** kg/m3 at 25 °C, 101.325 kPa. */
  readonly vapour: BySource<number>;
  /** kg/m3, RD 552/2019 IF-02 Table A (seen). */
  readonly practicalLimit?: number;
  /** The lower of ATEL and ODL, kg/m3, RD 552/2019 IF-02 Table A (seen). */
  readonly toxicLimit?: number;
  /** RD 552/2019 IF-02 Table A (seen). */
  readonly autoignitionC?: number;
  /** For systems restricted to pinhole leaks, kg/m3, RD 552/2019 IF-04 Appendix 4 (seen). */
  readonly restricted?: { readonly rcl: number; readonly qlmv: number; readonly qlav: number };
  readonly notes?: readonly string[];
}

/** LFLs are written "AMOUNT" or "AMOUNT; note". Throws on an amount that is none: a slip in the table. */
export function row(
  name: string,
  safetyClass: SafetyClass,
  parts: readonly Part[] | 'pure',
  written: RowFacts & { readonly lfl: BySource<string> },
): RefrigerantRow {
  const { lfl, ...facts } = written;
  const lfls = (Object.entries(lfl) as [SourceId, string][]).map(([id, text]) => lflRecord(id, text));
  return { name, safetyClass, parts: parts === 'pure' ? [part(name, 100)] : parts, lfls, facts };
}

/** A component as the table writes it; that shares add up is checked where they are used. */
export function part(name: string, massPercent: number): Part {
  return { name, massPercent };
}

/** Stays in the printed unit: what is rounded once is not converted and rounded again. */
function lflRecord(id: SourceId, text: string): LflRecord {
  const [written, note = null] = text.split('; ');
  const amount = parseGasAmount(written);
  if ('problem' in amount) throw new Error(`lflRecord: ${text}: ${amount.problem}`);
  return { id, amount, note };
}
