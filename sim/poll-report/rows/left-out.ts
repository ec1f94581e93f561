/** A sensor that is asked for its number, and for nothing that says what the number is worth. */
import { type PointName, STATE_BITS, TABLE_WORDS } from '../../../src/sensor/index.ts';
import { listed } from '../../../src/text/words.ts';
import type { Place } from '../planned.ts';
import type { RangeReport } from '../report.ts';
import { tableOf } from '../request-of.ts';
import { endOf, type Finding, finding, isRepeated, type Seen, type SeenUnit, unitsOf } from './seen.ts';
import { capital, nameOf } from './words.ts';

const NUMBERS: readonly string[] = ['gasPercentLfl', 'gasPercentVol'] satisfies PointName[];
/** Any of them tells a sensor that has failed, warms up or stands still from one in clean air. */
const WORTH: readonly string[] = ['state', ...STATE_BITS, 'faultCode', 'counter'] satisfies PointName[];

export function numberAlone(seen: Seen): readonly Finding[] {
  return unitsOf(seen).flatMap((one) => {
    const { unit, planned } = one;
    if (planned?.kind !== 'sensor' || unit.answered === 0 || unit.otherRanges > 0) return [];
    const ranges = unit.ranges.filter((range) => range.way === 'read' && isRepeated(range));
    const told = planned.places.filter((place) => ranges.some((range) => covers(range, place)));
    const missed = planned.places.filter(({ name }) => WORTH.includes(name));
    const number = told.find(({ name }) => NUMBERS.includes(name));
    if (number === undefined || missed.length === 0 || told.some((place) => missed.includes(place)))
      return [];
    return [finding(one, textOf(one, number, missed), latest(ranges))];
  });
}

function textOf(one: SeenUnit, number: Place, missed: readonly Place[]): string {
  const where = missed.map(({ name, table, address }) => `${name} (${TABLE_WORDS[table]}, ${address})`);
  return (
    `${capital(nameOf(one))} is asked for its number (${number.name}), never for: ${listed(where)}. A sensor that has failed, ` +
    'warms up or stands still may show a number all the same: ask for what tells it apart from clean air.'
  );
}

function covers(range: RangeReport, { table, address, length }: Place): boolean {
  return (
    tableOf(range.functionCode) === table && range.address <= address && endOf(range) >= address + length
  );
}

function latest(ranges: readonly RangeReport[]): number {
  return Math.max(...ranges.map(({ lastMs }) => lastMs));
}
