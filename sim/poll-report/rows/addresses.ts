/** Mistakes about who is asked: units 0 and 255, nobody there, nobody asked, the same address twice. */

import { BROADCAST, UNIT_MAX } from '../../../src/modbus/index.ts';
import { codeText, listed } from '../../../src/text/words.ts';
import { formatDuration } from '../../../src/units/index.ts';
import { FIELD_IO } from '../planned.ts';
import type { RangeReport } from '../report.ts';
import { tableOf } from '../request-of.ts';
import { type Finding, finding, isRepeated, rangesOn, type Seen, unitsOf } from './seen.ts';
import { capital, nameOf, placesText, timesText } from './words.ts';

export function reservedUnits(seen: Seen): readonly Finding[] {
  return unitsOf(seen).flatMap((one) => {
    const { unit, line } = one;
    const isReserved = unit.unitId > UNIT_MAX;
    // A broadcast write is carried out by all, and right; a broadcast read is answered by nobody.
    const reads = unit.ranges.filter(({ way }) => way === 'read').some(isRepeated);
    if (!isRepeated(unit) || !(isReserved || (unit.unitId === BROADCAST && reads))) return [];
    const why = isReserved
      ? 'Such a unit id speaks to a gateway itself, or to a device with an address of its own on the network'
      : 'Unit id 0 is a broadcast: nobody answers it';
    return [
      finding(
        one,
        `Line ${line.id} is asked at unit id ${unit.unitId}, ${timesText(unit.requests)}. ${why}: give each device ` +
          `its own, here ${listed(plannedIds(seen, line.id))}.`,
        unit.lastMs,
      ),
    ];
  });
}

/** Planned, on a rig whose polling has gone on for long enough to have had everybody's turn. */
export function neverAsked(seen: Seen): readonly Finding[] {
  const { report, rig } = seen;
  if (report.sinceMs === null || report.requests < 4 * TURNS_MIN) return [];
  const lastMs = Math.max(...report.lines.map(({ lastMs: at }) => at ?? 0));
  const forMs = lastMs - report.sinceMs;
  if (forMs <= rig.policy.askWithinMs) return [];
  const units = report.lines.flatMap(({ id, neverAsked: missed }) =>
    missed.map(({ unitId, who }) => ({
      line: id,
      unitId,
      who,
      text:
        `${capital(who)} (unit ${unitId} on line ${id}) has not been asked once in ${formatDuration(forMs)}: add it to ` +
        'what the controller polls, or check the address that it asks in its place.',
    })),
  );
  return [...units, ...contactsNeverRead(seen, forMs)];
}

const TURNS_MIN = 5;

/** A contact sensor is asked by reading the input that it is wired to. */
function contactsNeverRead({ report, rig }: Seen, forMs: number): readonly Finding[] {
  const { line: id, unitId } = rig.fieldIo;
  const unit = report.lines.find((line) => line.id === id)?.units.find((one) => one.unitId === unitId);
  if (unit === undefined || unit.otherRanges > 0) return [];
  const isRead = (input: number): boolean =>
    unit.ranges.some(
      ({ way, functionCode, address, quantity }) =>
        way === 'read' &&
        tableOf(functionCode) === 'discrete' &&
        input >= address &&
        input < address + quantity,
    );
  return rig.sensors.flatMap((sensor) =>
    sensor.kind !== 'contact' || isRead(sensor.input)
      ? []
      : [
          {
            line: id,
            unitId,
            who: sensor.id,
            text:
              `${sensor.id} is a contact on input ${sensor.input} of the field I/O (unit ${unitId} on line ${id}), ` +
              `which has not been read once in ${formatDuration(forMs)}: read discrete input ${sensor.input} with function 02.`,
          },
        ],
  );
}

export function nobodyThere(seen: Seen): readonly Finding[] {
  const { planned } = seen;
  return unitsOf(seen).flatMap((one) => {
    const { unit, line } = one;
    const isDevice = unit.unitId > BROADCAST && unit.unitId <= UNIT_MAX;
    if (!isDevice || one.planned !== undefined || unit.answered > 0 || !isRepeated(unit)) return [];
    const elsewhere = planned.find((other) => other.unitId === unit.unitId);
    const hint =
      elsewhere === undefined
        ? `Planned on this line: ${listed(plannedIds(seen, line.id))}.`
        : `${capital(elsewhere.who)} has that address on line ${elsewhere.line}.`;
    return [
      finding(
        one,
        `Unit ${unit.unitId} on line ${line.id} has been asked ${timesText(unit.requests)}, and nobody is there. ${hint} ` +
          'Take it out of the poll, or correct the address: each try costs the line a time-out.',
        unit.lastMs,
      ),
    ];
  });
}

/** Two devices planned at an address that is asked: both answer at once. */
export function plannedTwice(seen: Seen): readonly Finding[] {
  return unitsOf(seen).flatMap((one) => {
    const { unit, line } = one;
    if (unit.who.length < 2 || !isRepeated(unit)) return [];
    return [
      finding(
        one,
        `${capital(listed(unit.who))} are both planned at unit ${unit.unitId} on line ${line.id}: they answer at once, ` +
          'and of two answers none can be trusted. Give one of them an address of its own.',
        unit.lastMs,
      ),
    ];
  });
}

/** The same addresses under two functions, of which the profile has values under one alone. */
export function twoFunctions(seen: Seen): readonly Finding[] {
  return unitsOf(seen).flatMap((one) => {
    const { unit, planned } = one;
    if (planned?.kind !== 'sensor') return [];
    const pairs = [...PAIRS].flatMap(([right, wrong]) =>
      rangesOn(unit, wrong, 'read').flatMap((range) => {
        const twin = rangesOn(unit, right, 'read').find((other) => isSame(other, range));
        const has = (table: string): boolean => planned.places.some((place) => place.table === table);
        return twin !== undefined && has(right) && !has(wrong) ? [{ range, twin }] : [];
      }),
    );
    return pairs
      .slice(0, 1)
      .map(({ range, twin }) =>
        finding(
          one,
          `${capital(nameOf(one))} is asked for ${placesText(twin.functionCode, range.address, range.quantity)} twice, with ` +
            `function ${codeText(twin.functionCode)} and with function ${codeText(range.functionCode)}: its profile has ` +
            `values under function ${codeText(twin.functionCode)} alone. Leave the other out.`,
          Math.min(twin.lastMs, range.lastMs),
        ),
      );
  });
}

const PAIRS = [
  ['input', 'holding'],
  ['holding', 'input'],
  ['discrete', 'coil'],
  ['coil', 'discrete'],
] as const;

function isSame(one: RangeReport, other: RangeReport): boolean {
  return one.address === other.address && one.quantity === other.quantity;
}

/** So many settled intervals before a pattern is one. */
const PATTERN_MIN = 16;
/** Of the intervals, those under half of their mean: a controller alone has none, two have a third. */
const QUICK_SHARE_MIN = 0.2;
/** Short and long in turn: each step is large, each second step small. */
const STEP_SHARE_MIN = 0.2;
const STEP_RATIO_MAX = 0.35;

/**
 * Two trains of the same request: from two controllers, or from one that has the sensor in its list twice.
 */
export function askedTwice(seen: Seen): readonly Finding[] {
  return unitsOf(seen).flatMap((one) => {
    const { unit, planned } = one;
    const range = unit.ranges.find(
      (asked) => asked.way === 'read' && isRepeated(asked) && isTwoTrains(asked),
    );
    const { settled } = range ?? {};
    if (planned?.kind !== 'sensor' || range === undefined || !settled) return [];
    return [
      finding(
        one,
        `${capital(nameOf(one))} is asked for the same registers in two interleaved rhythms, ${formatDuration(settled.minMs)} to ` +
          `${formatDuration(settled.maxMs)} apart: either two controllers ask it, or one has it in its list twice. One ` +
          'controller must ask, and once a cycle; a serial line has one master at a time.',
        isQuick(range) ? range.quickAtMs : range.lastMs,
      ),
    ];
  });
}

function isTwoTrains(range: RangeReport): boolean {
  const { settled, stepOneMs, stepTwoMs } = range;
  if (settled === null || settled.count < PATTERN_MIN) return false;
  if (isQuick(range)) return true;
  if (stepOneMs === null || stepTwoMs === null) return false;
  return stepOneMs >= settled.meanMs * STEP_SHARE_MIN && stepTwoMs <= stepOneMs * STEP_RATIO_MAX;
}

function isQuick({ settled, quick }: RangeReport): boolean {
  return quick >= (settled?.count ?? 0) * QUICK_SHARE_MIN;
}

function plannedIds({ planned }: Seen, line: string): readonly string[] {
  const here = planned.filter((one) => one.line === line);
  if (here.length === 0) return ['nobody'];
  return here.map(({ unitId, who }) => `${unitId} (${who === FIELD_IO ? 'field I/O' : who})`);
}
