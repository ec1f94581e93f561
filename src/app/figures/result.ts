/** What `figures` found, before it is written as text, JSON or a sheet. */
import {
  type Amount,
  amountText,
  type Figure,
  type FigureGroup,
  type FiguresCase,
  type UnitSystem,
} from '../../figures/index.ts';
import type { Rig } from '../../rig/index.ts';
import type { BenchCourse } from './bench-courses.ts';

export interface FiguresResult {
  readonly rig: Rig;
  readonly the: FiguresCase;
  readonly groups: readonly FigureGroup[];
  readonly outside: readonly Figure[];
  readonly bench: readonly BenchCourse[];
  readonly units: UnitSystem;
}

/** Said wherever the case stands against figures: what that means, and what it does not. */
const DEFERS =
  'Figures are alternatives that do not all bind every unit, some are from memory, and none was checked against ' +
  'the listing of the equipment: local codes and licensed practice decide. This is no proof of compliance.';

export function outsideSentence(outside: readonly Figure[]): string {
  if (outside.length === 0)
    return `Outside none of the figures that this case can be held against. ${DEFERS}`;
  const names = outside.map(({ name, standard, sure }) => `${name} by ${standard} (${sure})`).join('; ');
  return `Outside its limits by ${outside.length} of the figures here: ${names}. ${DEFERS}`;
}

/** What was asked about, in a sentence. */
export function caseSentence({ rig, the, units }: FiguresResult): string {
  const { name, lflKgPerM3, source } = rig.refrigerant;
  const say = (value: number, measure: Amount['measure']): string => amountText({ value, measure }, units);
  const air = the.airflowM3PerH === null ? 'no airflow told' : `fan ${say(the.airflowM3PerH, 'airflow')}`;
  const install = the.install === null ? 'installation not told' : `installed at the ${the.install}`;
  return (
    `${rig.name}: ${say(the.chargeKg, 'mass')} of ${name} in one circuit, room ${say(the.floorM2, 'area')} × ` +
    `${say(the.heightM, 'length')}, outside air ${say(the.outsideM3PerH, 'airflow')}, ${air}, ${install}. ` +
    `LFL ${say(lflKgPerM3, 'concentration')} (${source}).${units === 'ip' ? ' Formulas stand in SI units; what was printed in SI is converted.' : ''}`
  );
}
