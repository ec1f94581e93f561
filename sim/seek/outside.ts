/**
 * What the rig looks like from outside, in words, and what happened to it there: the coverage that tells two
 * histories apart which exercise the same rules.
 *
 * A state is what the rig does, who calls, what is reported, which lamps are lit, whether all that has lasted
 * for longer than a hold, and how often there was an alarm. An event comes from outside the controller, and
 * counts in the state that it meets.
 */
import type { SensorTrace, Signal, Trace } from '../judge/trace.ts';

/** A state, or an event in a state, and when it first came about in the drill. */
export interface Reached {
  readonly what: string;
  readonly atMs: number;
}

/** One change of one signal; those of one moment are one turn. */
interface Change {
  readonly atMs: number;
  readonly name: string;
  readonly value: boolean;
  /** What it is called as an event; null where it is none. */
  readonly event: string | null;
}

interface Standing {
  readonly look: string;
  readonly sinceMs: number;
  readonly alarms: number;
}

type Now = ReadonlyMap<string, boolean>;

/** More of them tell nothing new: as many lock out, where anything does. */
const ALARMS_TOLD_MAX = 3;

/** Each state, and each event in a state, in the order in which they were noticed. */
export function reachedIn(trace: Trace, holdMs: number): readonly Reached[] {
  const now = new Map<string, boolean>();
  const reached = new Map<string, number>();
  const reach = (what: string, atMs: number): void => {
    if (!reached.has(what)) reached.set(what, atMs);
  };
  let standing: Standing = { look: '', sinceMs: trace.startMs, alarms: 0 };
  for (const { atMs, changes } of turnsOf(trace)) {
    const { sinceMs } = standing;
    const isSettled = atMs - sinceMs > holdMs;
    if (isSettled) reach(wordsOf(standing, true), sinceMs + holdMs);
    for (const { event } of changes) {
      if (event !== null && atMs > trace.startMs)
        reach(`${event} while ${wordsOf(standing, isSettled)}`, atMs);
    }
    const alarmBefore = now.get('alarm') === true;
    for (const { name, value } of changes) now.set(name, value);
    const alarms = standing.alarms + (!alarmBefore && now.get('alarm') === true ? 1 : 0);
    const look = lookOf(now);
    if (look === standing.look) continue;
    standing = { look, sinceMs: atMs, alarms: Math.min(alarms, ALARMS_TOLD_MAX) };
    reach(wordsOf(standing, false), atMs);
  }
  return [...reached].map(([what, atMs]) => ({ what, atMs }));
}

/** An event is told by the state it met. */
export function isEvent(what: string): boolean {
  return what.includes(' while ');
}

function wordsOf({ look, alarms }: Standing, isSettled: boolean): string {
  const count = alarms === 0 ? [] : [`${alarms}${alarms === ALARMS_TOLD_MAX ? ' or more' : ''} alarms`];
  return [look, ...(isSettled ? ['past a hold'] : []), ...count].join(', ');
}

function lookOf(now: Now): string {
  const on = (name: string): boolean => now.get(name) === true;
  if (!on(RIG_POWER)) return 'rig dark';
  const any = (prefix: string): boolean => [...now].some(([name, value]) => value && name.startsWith(prefix));
  return [
    doingOf(on, any),
    ...(on(CONTROLLER_POWER) ? [] : ['controller dark']),
    ...(on('fire') ? ['fire'] : []),
    ...(any('call.') ? ['called'] : []),
    ...(any(GAS) ? ['gas reported'] : []),
    ...['alarm', 'trouble'].filter(on),
  ].join(', ');
}

function doingOf(on: (name: string) => boolean, any: (prefix: string) => boolean): string {
  if (on('heat') || any('compressor.')) return 'serving';
  return on('fan') ? 'airing' : 'still';
}

const RIG_POWER = 'rig power';
const CONTROLLER_POWER = 'controller power';
const GAS = 'gas at ';

/** All changes of a moment together, so that half of a decision is no state. */
function turnsOf(trace: Trace): readonly { readonly atMs: number; readonly changes: readonly Change[] }[] {
  const turns = new Map<number, Change[]>();
  for (const change of changesOf(trace)) {
    if (change.atMs > trace.endMs) continue;
    const turn = turns.get(change.atMs);
    if (turn === undefined) turns.set(change.atMs, [change]);
    else turn.push(change);
  }
  return [...turns]
    .map(([atMs, changes]) => ({ atMs, changes }))
    .toSorted((one, other) => one.atMs - other.atMs)
    .concat({ atMs: trace.endMs, changes: [] });
}

function changesOf(trace: Trace): readonly Change[] {
  return [
    ...[...trace.outputs].flatMap(([name, signal]) => changes(name, signal, null)),
    ...[...trace.inputs].flatMap(([name, signal]) => changes(name, signal, name)),
    ...changes(RIG_POWER, trace.rigPower, RIG_POWER),
    ...changes(CONTROLLER_POWER, trace.controllerPower, CONTROLLER_POWER),
    ...changes('field I/O', trace.fieldIoAnswers, 'field I/O'),
    ...trace.sensors.flatMap((sensor) => [
      ...changes(`sound ${sensor.id}`, sensor.sound, 'sound sensor'),
      ...changes(`${GAS}${sensor.id}`, gasReported(sensor), 'gas'),
    ]),
  ];
}

function changes(name: string, signal: Signal<boolean>, event: string | null): readonly Change[] {
  return signal.map(({ atMs, value }) => ({
    ...{ atMs, name, value },
    event: event === null ? null : `${event} ${value ? 'on' : 'off'}`,
  }));
}

/** As its last answer says. */
function gasReported({ requests }: SensorTrace): Signal<boolean> {
  const signal: { atMs: number; value: boolean }[] = [];
  for (const { answer } of requests) {
    if (answer === null) continue;
    const value = answer.gasBit || answer.state === 'gas';
    if (value !== (signal.at(-1)?.value ?? false)) signal.push({ atMs: answer.atMs, value });
  }
  return signal;
}
