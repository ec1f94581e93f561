/**
 * What a careful person would note beside the machine, and hold against its commands. Shares nothing with
 * it but the names of inputs and outputs: the rules' meaning in shadow variables, one `if` a rule.
 *
 * It demands the least that is safe; the machine may be stricter, and `mayServe` says when it may not.
 */
import type { Commands } from '../../../../src/mitigation/index.ts';
import type { Ms } from '../../../../src/units/index.ts';
import { HOLD_TICKS, TICK_MS, type Told } from './world.ts';

const HOLD_MS = HOLD_TICKS * TICK_MS;
const TRIPS = 2;
/** Two compressors never start closer together. */
const APART_MS = 10_000;

export interface Shadow {
  readonly atMs: Ms;
  /** Airflow-proven time since the last danger ended; null where no mitigation is owed. */
  readonly provenMs: number | null;
  /** Time goes towards it: no danger, and airflow proven. */
  readonly counts: boolean;
  /** Gas episodes that count, and whether the present one has. */
  readonly trips: number;
  readonly counted: boolean;
  readonly locked: boolean;
  /** The button, as last seen; null where it was not. */
  readonly reset: boolean | null;
  readonly fire: boolean;
  /** By circuit: commanded off, and that taken, since; -Infinity where it never ran. */
  readonly offSinceMs: readonly number[];
  readonly onSinceMs: readonly (number | null)[];
  readonly untaken: readonly boolean[];
  readonly fan: boolean;
  readonly heat: boolean;
  /** Since when the fan is on without air, air is there without the fan, a circuit runs unasked. */
  readonly noAirSinceMs: number | null;
  readonly strangeAirSinceMs: number | null;
  readonly weldedSinceMs: readonly (number | null)[];
}

export function shadowAtPowerUp(record: string, circuits: number): Shadow {
  const never = record === 'empty' ? Number.NEGATIVE_INFINITY : 0;
  return {
    atMs: 0 as Ms,
    provenMs: record === 'disorderly' || record === 'lockedOut' ? 0 : null,
    counts: false,
    trips: 0,
    counted: false,
    locked: record === 'lockedOut',
    reset: null,
    fire: false,
    offSinceMs: Array.from({ length: circuits }, () => never),
    onSinceMs: Array.from({ length: circuits }, () => null),
    untaken: Array.from({ length: circuits }, () => true),
    fan: false,
    heat: false,
    noAirSinceMs: null,
    strangeAirSinceMs: null,
    weldedSinceMs: Array.from({ length: circuits }, () => null),
  };
}

/** What was seen and done in one step. */
export interface Seen {
  readonly told: Told;
  readonly now: Ms;
  /** When a sensor that is now stale was last heard. */
  readonly heardMs: Ms;
  readonly commands: Commands;
  /** The machine asked to be let go in this step; it was let go. */
  readonly asked: boolean;
  readonly letGo: boolean;
  /** It counts itself as running, which alone may serve a call. */
  readonly running: boolean;
}

const isGas = (told: Told): boolean =>
  told.coil === 'gas' || told.coil === 'lingering' || told.coil === 'contradiction' || told.contact === 'gas';
const isTrouble = (told: Told): boolean =>
  told.coil === 'silent' || told.coil === 'selfFailed' || told.contact === 'silent';
const isDanger = (told: Told): boolean => isTrouble(told) || (isGas(told) && !onlyLingers(told));
const onlyLingers = (told: Told): boolean => told.coil === 'lingering' && told.contact !== 'gas';

/** The facts of a step before its commands are looked at. */
export function note(before: Shadow, told: Told, now: Ms): Shadow {
  const finding = isGas(told) || isTrouble(told);
  const airflow = told.heard && told.airflow;
  const since = (holds: boolean, sinceMs: number | null): number | null => (holds ? (sinceMs ?? now) : null);

  // Time counts where airflow was proven when it began; of a silent field I/O nothing is known since then.
  const ran = before.counts && told.heard ? now - before.atMs : 0;
  const owed = before.provenMs === null ? null : before.provenMs + ran;
  const restarts = isDanger(told) || told.fire;
  const begins = finding && owed === null;
  const provenMs = begins || (restarts && owed !== null) ? 0 : owed;

  const counts = isGas(told) && !before.counted;
  const pressed = told.heard && told.reset && before.reset === false && !before.fire && !told.fire;
  const unlocks = before.locked && pressed && !finding;
  const trips = unlocks ? 0 : before.trips + (counts ? 1 : 0);
  // Written out field by field, here and below: a spread would cost more than all the rest.
  return {
    atMs: now,
    offSinceMs: before.offSinceMs,
    onSinceMs: before.onSinceMs,
    untaken: before.untaken,
    fan: before.fan,
    heat: before.heat,
    counts: airflow && !restarts,
    provenMs,
    trips,
    counted: before.counted || counts,
    locked: (before.locked && !unlocks) || (counts && trips >= TRIPS),
    reset: told.heard ? told.reset : null,
    fire: told.fire,
    noAirSinceMs: since(before.fan && !airflow, before.noAirSinceMs),
    strangeAirSinceMs: since(!before.fan && airflow, before.strangeAirSinceMs),
    weldedSinceMs: before.weldedSinceMs.map((sinceMs, circuit) =>
      since(told.heard && told.welded[circuit] === true && before.onSinceMs[circuit] === null, sinceMs),
    ),
  };
}

/** The commands of a step, for the next one to remember. */
export function remember(noted: Shadow, { told, now, commands, letGo }: Seen): Shadow {
  return {
    atMs: noted.atMs,
    counts: noted.counts,
    trips: noted.trips,
    locked: noted.locked,
    reset: noted.reset,
    fire: noted.fire,
    noAirSinceMs: noted.noAirSinceMs,
    strangeAirSinceMs: noted.strangeAirSinceMs,
    weldedSinceMs: noted.weldedSinceMs,
    provenMs: letGo ? null : noted.provenMs,
    counted: letGo ? false : noted.counted,
    fan: commands.fan,
    heat: commands.heat,
    onSinceMs: commands.compressors.map((on, circuit) => (on ? (noted.onSinceMs[circuit] ?? now) : null)),
    untaken: commands.compressors.map(
      (on, circuit) => on || (noted.untaken[circuit] === true && !told.written),
    ),
    offSinceMs: commands.compressors.map((on, circuit) => {
      const sinceMs = noted.offSinceMs[circuit] ?? now;
      if (sinceMs === Number.NEGATIVE_INFINITY && !on && noted.onSinceMs[circuit] === null) return sinceMs;
      const goesOff = !on && noted.onSinceMs[circuit] !== null;
      return on || goesOff || noted.untaken[circuit] === true ? now : sinceMs;
    }),
  };
}

/** Everything that is wrong with the commands of a step, as sentences; none where all is right. */
export function complaints(before: Shadow, noted: Shadow, seen: Seen): readonly string[] {
  const { told, now, heardMs, commands, asked, letGo, running } = seen;
  const { fan, damper, heat, alarm, trouble, compressors } = commands;
  const wrong: string[] = [];
  const say = (broken: boolean, sentence: string): void => {
    if (broken) wrong.push(sentence);
  };
  const gas = isGas(told);
  const finding = gas || isTrouble(told);
  const serves = heat || compressors.some((on) => on);
  const mitigates = fan && damper && !serves;
  const airflow = told.heard && told.airflow;
  const over = (sinceMs: number | null): boolean => sinceMs !== null && now - sinceMs >= TICK_MS;

  say(told.fire && (fan || damper || serves), 'at a fire something is on');
  if (!told.fire) {
    say(finding && !mitigates, 'a finding stands and nothing is done in the same step');
    say(noted.provenMs !== null && !letGo && !mitigates, 'it ends before the hold');
    say(noted.locked && !mitigates, 'it ends while locked out');
    say(!told.heard && !mitigates, 'the field I/O is silent and nothing is done');
  }
  say(serves && !running, 'it serves outside running');
  say(serves && told.coil === 'untested', 'it serves with a sensor that has not passed');
  say(serves && over(noted.noAirSinceMs), 'it serves without proven air');

  say(letGo && !asked, 'it was let go without having asked');
  say(running && !letGo && noted.provenMs !== null, 'it runs while a hold is owed');
  say(letGo && noted.locked, 'it is let go while locked out');
  if (letGo && noted.provenMs !== null) {
    const endedMs = now - (noted.provenMs - HOLD_MS);
    say(noted.provenMs < HOLD_MS, 'it is let go before the hold has run');
    say(told.contact !== 'well', 'it is let go with a contact that is not well');
    say(told.coil !== 'well' && told.coil !== 'stale', 'it is let go with a sensor that is not well');
    say(told.coil === 'stale' && heardMs < endedMs, 'it is let go on a reading from before the end');
  }

  compressors.forEach((on, circuit) => {
    const starts = on && before.onSinceMs[circuit] === null;
    const offSinceMs = noted.untaken[circuit] === true ? now : (noted.offSinceMs[circuit] ?? now);
    const ran = noted.offSinceMs[circuit] !== Number.NEGATIVE_INFINITY;
    say(starts && ran && now - offSinceMs < TICK_MS, 'a compressor starts before its time off');
    say(starts && !airflow, 'a compressor starts without air');
    say(on && told.call !== 'cooling' && told.call !== 'both', 'a compressor runs without a call');
    const apart = noted.onSinceMs.every((sinceMs) => sinceMs === null || now - sinceMs >= APART_MS);
    say(starts && !apart, 'two compressors start too close together');
  });
  say(heat && !before.heat && !airflow, 'heat comes without air');
  say(heat && told.call !== 'heating' && told.call !== 'both', 'heat without a call');

  say(alarm !== (gas || told.fire), 'alarm is not as it should be');
  const welded = noted.weldedSinceMs.some(over);
  const troubled =
    isTrouble(told) || !told.heard || over(noted.noAirSinceMs) || over(noted.strangeAirSinceMs) || welded;
  // In a fire the lock-out is only waiting.
  say(trouble !== (troubled || (noted.locked && !told.fire)), 'trouble is not as it should be');
  const reason = finding || noted.provenMs !== null || noted.locked || !told.heard || welded;
  say(fan && told.call === 'none' && !reason, 'the fan runs for nothing');
  say(!told.fire && !fan && (told.call !== 'none' || welded), 'the fan is off though it is called for');
  say(mayServe(noted, seen) && !serves, 'a call is not served though nothing is against it');
  const dropped = before.heat || before.onSinceMs.some((sinceMs) => sinceMs !== null);
  say(
    dropped &&
      told.call === 'both' &&
      running &&
      !serves &&
      told.coil !== 'untested' &&
      !over(noted.noAirSinceMs),
    'two calls stand and the served one was dropped',
  );
  return wrong;
}

/** Nothing is against serving the call in this very step. */
function mayServe(noted: Shadow, { told, now, running }: Seen): boolean {
  const clear = running && told.coil !== 'untested' && told.heard && told.airflow;
  if (told.call === 'heating') return clear;
  if (told.call === 'none') return false;
  return (
    clear &&
    noted.offSinceMs.some((sinceMs, circuit) => !isUntaken(noted, circuit) && now - sinceMs >= TICK_MS)
  );
}

function isUntaken(noted: Shadow, circuit: number): boolean {
  return noted.untaken[circuit] === true && noted.offSinceMs[circuit] !== Number.NEGATIVE_INFINITY;
}
