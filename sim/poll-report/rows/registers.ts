/** Mistakes about what stands where: counted from 1, the wrong table, half a number, words turned round. */

import { OTHER_TABLE, READ_FUNCTIONS, TABLE_WORDS, TABLES, type Table } from '../../../src/sensor/index.ts';
import { codeText, listed } from '../../../src/text/words.ts';
import type { Place } from '../planned.ts';
import type { RangeReport } from '../report.ts';
import { tableOf } from '../request-of.ts';
import {
  endOf,
  type Finding,
  finding,
  isHardlyAsked,
  rangesOn,
  requestsFor,
  type Seen,
  type SeenUnit,
  unitsOf,
} from './seen.ts';
import { capital, hardlyText, nameOf, placesText, rangeText, timesText } from './words.ts';

/** One or two registers from the second on may be all that a controller wants to know. */
const SHIFTED_MIN = 3;

/** Asks from one past the beginning, never or hardly ever for the beginning itself. */
export function countsFromOne(seen: Seen): readonly Finding[] {
  return unitsOf(seen).flatMap((one) => {
    const [shift] = shiftsOf(one);
    if (shift === undefined) return [];
    const { range, first, name, before } = shift;
    const verb = range.way === 'read' ? 'is asked for' : 'is written to at';
    const begins = one.planned?.kind === 'fieldIo' ? 'its map begins' : 'its profile begins';
    return [
      finding(
        one,
        `${capital(nameOf(one))} ${verb} ${rangeText(range)} and ${hardlyText(before, range)} at ${first} (${name}), where ` +
          `${begins}: is your controller counting from 1? In a request addresses count from 0; take one off each number.`,
        range.lastMs,
      ),
    ];
  });
}

interface Shift {
  readonly range: RangeReport;
  readonly first: number;
  readonly name: string;
  /** Requests for the beginning all the same. */
  readonly before: number;
}

function shiftsOf({ unit, planned }: SeenUnit): readonly Shift[] {
  if (planned === undefined) return [];
  return TABLES.flatMap((table) => {
    const places = planned.places.filter((place) => place.table === table);
    const asked = unit.ranges.filter(({ functionCode }) => tableOf(functionCode) === table);
    const beginning = places.toSorted((one, other) => one.address - other.address)[0];
    if (beginning === undefined) return [];
    const first = beginning.address;
    const right = asked.filter((range) => range.address <= first && endOf(range) > first);
    return rangesOn(unit, table)
      .filter((range) => range.address === first + 1 && isHardlyAsked(right, range))
      .filter((range) => isShifted(range, asked, places))
      .map((range) => ({ range, first, name: beginning.name, before: requestsFor(right) }));
  });
}

/**
 * Long enough to mean all of it; or cut wrong where one lower would be right; or single coils past the last.
 */
function isShifted(range: RangeReport, asked: readonly RangeReport[], places: readonly Place[]): boolean {
  const lower = { ...range, address: range.address - 1 };
  const single = range.way === 'write' && asked.filter(({ way }) => way === 'write').length >= SHIFTED_MIN;
  return range.quantity >= SHIFTED_MIN || single || (cuts(range, places) && !cuts(lower, places));
}

function cuts(range: Pick<RangeReport, 'address' | 'quantity'>, places: readonly Place[]): boolean {
  const isInside = (at: number): boolean =>
    places.some(({ address, length }) => at > address && at < address + length);
  return isInside(range.address) || isInside(endOf(range));
}

/** Asks the other of two tables, not the one that holds the values, and never or hardly ever that one. */
export function tablesMixedUp(seen: Seen): readonly Finding[] {
  return unitsOf(seen).flatMap((one) => {
    const { unit, planned } = one;
    if (planned === undefined) return [];
    return TABLES.flatMap((table) => {
      const right = OTHER_TABLE[table];
      if (planned.kind === 'fieldIo' && !isInputOfFieldIo(right)) return [];
      const places = planned.places.filter((place) => place.table === right);
      const [range] = rangesOn(unit, table, 'read').filter((asked) => overlaps(asked, places));
      const asked = unit.ranges.filter(({ functionCode }) => tableOf(functionCode) === right);
      const isMeant = planned.places.some((place) => place.table === table);
      if (range === undefined || !isHardlyAsked(asked, range)) return [];
      if (isMeant && planned.kind === 'sensor') return [];
      const says = planned.kind === 'fieldIo' ? 'what it is told from outside' : 'what its profile names';
      return [
        finding(
          one,
          `${capital(nameOf(one))} is asked for ${rangeText(range)}, which are ${TABLE_WORDS[table]}; ${says} ` +
            `stands in ${TABLE_WORDS[right]}, ${hardlyText(requestsFor(asked), range)} asked for: use function ` +
            `${codeText(READ_FUNCTIONS[right])}.`,
          range.lastMs,
        ),
      ];
    });
  });
}

/** Its coils are for commands, and reading them back is right; calls and contacts are inputs. */
function isInputOfFieldIo(right: Table): boolean {
  return right === 'discrete' || right === 'input';
}

/** An off-by-one stretch may lie wholly beside a single value, so one beside counts too. */
function overlaps(range: RangeReport, places: readonly Place[]): boolean {
  return places.some(({ address, length }) => range.address <= address + length && endOf(range) > address);
}

/** Words of a 32-bit number exchanged in a write, or half a number asked for. */
export function wordOrder(seen: Seen): readonly Finding[] {
  return unitsOf(seen).flatMap((one) => [...swappedWrites(one), ...halfNumbers(one)]);
}

function swappedWrites(one: SeenUnit): readonly Finding[] {
  const { unit, planned } = one;
  const order = planned?.sensor?.codec.profile.points;
  return unit.ranges
    .filter(({ swapped }) => swapped > 0)
    .map((range) => {
      const point = Object.values(order ?? {}).find(
        (at) => at.table === 'holding' && at.address >= range.address && at.address < endOf(range),
      );
      const first = point?.wordOrder === 'low-first' ? 'low' : 'high';
      return finding(
        one,
        `${capital(nameOf(one))} was sent a 32-bit number in ${rangeText(range)} ${timesText(range.swapped)} that ` +
          `makes sense only with its two words exchanged: its profile has the ${first} word first. Exchange the ` +
          'word order in the controller; most likely it reads its numbers wrong as well.',
        range.swappedAtMs,
      );
    });
}

/** Begins inside a number; or asks for one half alone; or for both halves in two requests. */
function halfNumbers(one: SeenUnit): readonly Finding[] {
  const { unit, planned } = one;
  if (planned === undefined || shiftsOf(one).length > 0) return [];
  const wide = planned.places.filter(({ isWide }) => isWide);
  const halves = wide.flatMap((place) => {
    const second = place.address + 1;
    const ranges = rangesOn(unit, place.table, 'read');
    const ends = ranges.filter((range) => endOf(range) === second && range.address < second);
    const begins = ranges.filter((range) => range.address === second);
    const alone = ends.filter(({ quantity }) => quantity === 1);
    const asked = begins.length > 0 ? [...ends, ...begins] : alone;
    return asked.length === 0 ? [] : [{ place, asked }];
  });
  return halves.slice(0, 1).map(({ place, asked }) => {
    const both = asked.length > 1;
    const code = asked[0]?.functionCode ?? 0;
    const whole = placesText(code, place.address, place.length);
    return finding(
      one,
      `${capital(nameOf(one))} is asked for ${listed(asked.map(rangeText))}: its ${place.name} is one 32-bit number ` +
        `in ${whole}, of which ${both ? 'each request brings half, and the two may not belong together' : 'that brings half'}. ` +
        'Ask for both registers in one request, then check which word comes first.',
      Math.max(...asked.map(({ lastMs }) => lastMs)),
    );
  });
}
