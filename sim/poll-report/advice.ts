/**
 * The advice table: one row a mistake that controllers make on a bus, what it looks like from the wire, and
 * what to do about it. Each row is a function of the report and the rig, and says nothing where it has not
 * seen enough: the least evidence stands beside the rows.
 */
import type { Rig } from '../../src/rig/index.ts';
import { plannedOf } from './planned.ts';
import type { Advice } from './report.ts';
import {
  askedTwice,
  neverAsked,
  nobodyThere,
  plannedTwice,
  reservedUnits,
  twoFunctions,
} from './rows/addresses.ts';
import { commandsMissing } from './rows/commands.ts';
import { nobodyAsks } from './rows/nobody.ts';
import { paused } from './rows/paused.ts';
import { refused } from './rows/refused.ts';
import { countsFromOne, tablesMixedUp, wordOrder } from './rows/registers.ts';
import type { Finding, Seen } from './rows/seen.ts';
import { noLongerAsked, tooSlow } from './rows/seldom.ts';
import { silentStallsOthers } from './rows/stalls.ts';
import { serialSettings, timeoutTooShort } from './rows/timing.ts';

/** In the order in which they are said: causes before what follows from them, and time last. */
const ADVICE_ROWS = {
  'nobody-asks': nobodyAsks,
  'serial-settings': serialSettings,
  'unit-0-or-255': reservedUnits,
  'nobody-there': nobodyThere,
  'planned-twice': plannedTwice,
  'counts-from-1': countsFromOne,
  'tables-mixed-up': tablesMixedUp,
  'word-order': wordOrder,
  'two-functions': twoFunctions,
  refused,
  'never-asked': neverAsked,
  'no-longer-asked': noLongerAsked,
  'asked-twice': askedTwice,
  'commands-missing': commandsMissing,
  'timeout-too-short': timeoutTooShort,
  'silent-stalls-others': silentStallsOthers,
  paused,
  'too-slow': tooSlow,
} as const satisfies Readonly<Record<string, (seen: Seen) => readonly Finding[]>>;

export type AdviceId = keyof typeof ADVICE_ROWS;

/** As many as a person will read; what is left out comes up when the first are mended. */
const ADVICE_MAX = 40;

export function adviceOf(report: Seen['report'], rig: Rig): Advice[] {
  const seen = { report, rig, planned: plannedOf(rig) };
  const all = Object.entries(ADVICE_ROWS).flatMap(([id, find]) =>
    find(seen).map((found) => ({ id, ...found })),
  );
  return all.slice(0, ADVICE_MAX);
}
