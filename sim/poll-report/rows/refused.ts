/** Requests that a device refuses as unsound. */

import { TABLE_WORDS } from '../../../src/sensor/index.ts';
import { codeText } from '../../../src/text/words.ts';
import { tableOf } from '../request-of.ts';
import { twoFunctions } from './addresses.ts';
import { countsFromOne, tablesMixedUp, wordOrder } from './registers.ts';
import { type Finding, finding, type Seen, TIMES_MIN, unitsOf } from './seen.ts';
import { capital, nameOf, rangeText } from './words.ts';

/** 01 function, 02 address, 03 value: the request itself is wrong (MB-APP section 7). */
const UNSOUND_MAX = 3;

/** Refused again and again, where no other row explains it. */
export function refused(seen: Seen): readonly Finding[] {
  const explained = [
    ...countsFromOne(seen),
    ...tablesMixedUp(seen),
    ...wordOrder(seen),
    ...twoFunctions(seen),
  ];
  return unitsOf(seen).flatMap((one) => {
    const { unit, line, planned } = one;
    if (explained.some((other) => other.line === line.id && other.unitId === unit.unitId)) return [];
    const [worst] = unit.ranges.flatMap((range) =>
      range.refusals
        .filter(
          ({ code, answers }) => code <= UNSOUND_MAX && answers >= TIMES_MIN && answers > range.requests / 2,
        )
        .map(({ code }) => ({ code, range })),
    );
    if (worst === undefined) return [];
    const { range, code } = worst;
    const table = tableOf(range.functionCode);
    const places = planned?.places.filter((place) => place.table === table) ?? [];
    const last = Math.max(...places.map(({ address, length }) => address + length - 1));
    const has =
      table === null || places.length === 0
        ? 'It has nothing there'
        : `It has ${TABLE_WORDS[table]} up to ${last}`;
    return [
      finding(
        one,
        `${capital(nameOf(one))} refuses ${rangeText(range)} with exception ${codeText(code)}, again and again. ` +
          `${has}: ask for what it has, and no request for more.`,
        range.lastMs,
      ),
    ];
  });
}
