/**
 * The advice table: one row a mistake that controllers make on a bus, what it looks like from the wire, and
 * what to do about it. Each row is a function of the report and the rig, and says nothing where it has not
 * seen enough: the least evidence stands beside the rows.
 */
import type { Rig } from '../../src/rig/index.ts';
import { formatClock } from '../../src/units/index.ts';
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
import { numberAlone } from './rows/left-out.ts';
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
  'number-alone': numberAlone,
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

/** So many times as long as nobody may go unasked: whatever is still asked has been asked by then. */
const STALE_AFTER = 2;

export function adviceOf(report: Seen['report'], rig: Rig): Advice[] {
  const seen = { report, rig, planned: plannedOf(rig) };
  const staleMs = STALE_AFTER * rig.policy.askWithinMs;
  const all = Object.entries(ADVICE_ROWS).flatMap(([id, find]) =>
    find(seen).map(({ text, seenAtMs, ...of }) => {
      const isStale = typeof seenAtMs === 'number' && report.atMs - seenAtMs > staleMs;
      const age = isStale ? ` This was last seen at ${formatClock(seenAtMs)} of bench time.` : '';
      return { id, ...of, text: text + age };
    }),
  );
  return all.slice(0, ADVICE_MAX);
}
