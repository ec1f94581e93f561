/** Requests that a device refuses as unsound. */

import { EXCEPTIONS } from '../../../src/modbus/index.ts';
import { TABLE_WORDS } from '../../../src/sensor/index.ts';
import { codeText } from '../../../src/text/words.ts';
import type { RangeReport } from '../report.ts';
import { tableOf } from '../request-of.ts';
import { twoFunctions } from './addresses.ts';
import { countsFromOne, tablesMixedUp, wordOrder } from './registers.ts';
import { type Finding, finding, type Seen, type SeenUnit, TIMES_MIN, unitsOf } from './seen.ts';
import { capital, nameOf, rangeText } from './words.ts';

/** 01 function, 02 address, 03 value: the request itself is wrong (MB-APP section 7). */
const UNSOUND_MAX = 3;
/** A device that can do no better gives this one where it does not take a write: locked, or no such value. */
const WILL_NOT = EXCEPTIONS.serverDeviceFailure.code;

/** Refused again and again, where no other row explains it. */
export function refused(seen: Seen): readonly Finding[] {
  const explained = [
    ...countsFromOne(seen),
    ...tablesMixedUp(seen),
    ...wordOrder(seen),
    ...twoFunctions(seen),
  ];
  return unitsOf(seen).flatMap((one) => {
    const { unit, line } = one;
    if (explained.some((other) => other.line === line.id && other.unitId === unit.unitId)) return [];
    const [worst] = unit.ranges.flatMap((range) =>
      range.refusals
        .filter(
          ({ code, answers }) => answers >= TIMES_MIN && answers > range.requests / 2 && isOurs(code, range),
        )
        .map(({ code }) => ({ code, range })),
    );
    if (worst === undefined) return [];
    const { range, code } = worst;
    const what = `${capital(nameOf(one))} refuses ${rangeText(range)} with exception ${codeText(code)}, again and again. `;
    return [finding(one, what + remedyFor(one, range, code), range.lastMs)];
  });
}

function isOurs(code: number, { way }: RangeReport): boolean {
  return code <= UNSOUND_MAX || (way === 'write' && code === WILL_NOT);
}

function remedyFor({ planned }: SeenUnit, range: RangeReport, code: number): string {
  if (code === WILL_NOT)
    return 'Nothing that is written there has any effect: see which values it takes, and what must be written before.';
  const table = tableOf(range.functionCode);
  const places = planned?.places.filter((place) => place.table === table) ?? [];
  const last = Math.max(...places.map(({ address, length }) => address + length - 1));
  const has =
    table === null || places.length === 0
      ? 'It has nothing there'
      : `It has ${TABLE_WORDS[table]} up to ${last}`;
  return `${has}: ask for what it has, and no request for more.`;
}
