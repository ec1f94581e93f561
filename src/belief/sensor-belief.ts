/**
 * What the supervisor holds true of one sensor: value, age and trust, folded from the outcomes of its polls.
 *
 * Unknown is never safe. A sensor keeps no number beyond its trust: silence, a frozen counter, an invalid
 * number, a number its own state contradicts and a strange serial each stand as a finding of their own, and
 * every finding asks for the same thing as gas. A reading is as old as its question: its answer may have lain
 * in a socket while the process was stopped.
 *
 * Invariants: `unansweredSinceMs` is null right after a good answer with its self-test passed; `gas` and
 * `contradiction` end only on a good answer below `clearBelow`; `selfTestPassed` is lost by every sign of a
 * restart.
 */
import type { Timed } from '../poll/index.ts';
import type { Ms, PercentLfl } from '../units/index.ts';
import { type SilenceLimits, silentAtMs } from './silence.ts';

/** A sensor's answer as far as belief needs it; null or undefined where its profile has no such point. */
export interface Heard {
  readonly state: 'warming-up' | 'measuring' | 'gas' | 'failed' | undefined;
  readonly gasPercentLfl: number | null;
  readonly gasBit: boolean;
  readonly selfTestPassed: boolean;
  readonly counter: number | undefined;
  readonly serial: string | undefined;
}

export interface GoodAnswer {
  readonly atMs: Ms;
  readonly heard: Heard;
}

export interface SensorBelief {
  /** Last answer with a state of measuring, gas or failed; null before the first since power-up. */
  readonly lastGood: GoodAnswer | null;
  /** State of the last answer of any kind: `warming-up` is heard, but not good. */
  readonly lastState: Heard['state'] | null;
  /** When the first request left that has not led to a good, self-tested answer since. */
  readonly unansweredSinceMs: Ms | null;
  /** Good answers have said so since our power-up and since its own last restart. */
  readonly selfTestPassed: boolean;
  /** When the counter was last seen to move; counts from the first good answer. */
  readonly counterMovedAtMs: Ms | null;
  /** Gas was reported and has not yet ended below `clearBelow`. */
  readonly gas: boolean;
  /** As gas, but told by the number alone while state and bit said clear. */
  readonly contradiction: boolean;
}

export interface BeliefLimits extends SilenceLimits {
  readonly setpoint: PercentLfl;
  readonly clearBelow: PercentLfl;
}

/** What can be wrong with a sensor; `gas` and `contradiction` are shown as alarm, the others as trouble. */
export type Finding = 'gas' | 'contradiction' | 'silent' | 'selfFailed' | 'frozen' | 'invalid' | 'stranger';

export const UNHEARD: SensorBelief = {
  lastGood: null,
  lastState: null,
  unansweredSinceMs: null,
  selfTestPassed: false,
  counterMovedAtMs: null,
  gas: false,
  contradiction: false,
};

/**
 * Folds one outcome in. Refused, mismatched and a state that the profile does not list are no better than
 * silent: nothing was learned. Gas comes before warming up: whoever tells it while it warms up is believed.
 */
export function foldOutcome(belief: SensorBelief, poll: Timed<Heard>, limits: BeliefLimits): SensorBelief {
  const { askedAtMs, outcome } = poll;
  if (outcome.kind !== 'answered') return missed(belief, askedAtMs);
  const heard = outcome.answer;
  if (heard.state === undefined) {
    return { ...missed(belief, askedAtMs), lastState: undefined, selfTestPassed: false };
  }
  if (heard.state !== 'warming-up') return good(belief, heard, askedAtMs, limits);
  return heard.gasBit
    ? good(belief, { ...heard, state: 'gas', selfTestPassed: false }, askedAtMs, limits)
    : warmingUp(belief, askedAtMs, limits);
}

function missed(belief: SensorBelief, askedAtMs: Ms): SensorBelief {
  if (belief.unansweredSinceMs !== null) return belief;
  return { ...belief, unansweredSinceMs: askedAtMs };
}

/**
 * A sensor that warms up has restarted: its pass is void. Before its first good answer that is no silence,
 * but it does not end one either.
 */
function warmingUp(belief: SensorBelief, askedAtMs: Ms, limits: BeliefLimits): SensorBelief {
  const silent = isOver(belief.unansweredSinceMs, limits.silentAfterMs, askedAtMs);
  const waiting = belief.lastGood === null && !silent ? null : (belief.unansweredSinceMs ?? askedAtMs);
  return { ...belief, lastState: 'warming-up', selfTestPassed: false, unansweredSinceMs: waiting };
}

function good(belief: SensorBelief, heard: Heard, atMs: Ms, limits: BeliefLimits): SensorBelief {
  const last = belief.lastGood?.heard;
  const moved = last === undefined || last.counter !== heard.counter;
  const number = heard.gasPercentLfl;
  const saysGas = heard.state === 'gas' || heard.gasBit;
  const below = number !== null && number < limits.clearBelow;
  return {
    lastGood: { atMs, heard },
    lastState: heard.state,
    // Only a passed self-test ends silence; an answer that says failed proves nothing either.
    unansweredSinceMs: heard.selfTestPassed ? null : belief.unansweredSinceMs,
    selfTestPassed: heard.selfTestPassed,
    counterMovedAtMs: moved ? atMs : belief.counterMovedAtMs,
    gas: saysGas || (belief.gas && !below),
    contradiction: !saysGas && (isHigh(number, limits) || (belief.contradiction && !below)),
  };
}

function isHigh(number: number | null, { setpoint }: BeliefLimits): boolean {
  return number !== null && number >= setpoint;
}

/** Everything wrong with a sensor at `now`, strongest first; plannedSerial null accepts any. */
export function findingsOf(
  belief: SensorBelief,
  limits: BeliefLimits,
  plannedSerial: string | null,
  now: Ms,
): readonly Finding[] {
  const silent = isSilent(belief, limits, now);
  const last = belief.lastGood;
  if (last === null) return silent ? ['silent'] : [];
  const { heard } = last;
  const findings: Finding[] = [];
  if (belief.gas) findings.push('gas');
  if (belief.contradiction) findings.push('contradiction');
  if (silent) findings.push('silent');
  if (heard.state === 'failed') findings.push('selfFailed');
  if (isFrozen(belief, last, limits)) findings.push('frozen');
  if (heard.gasPercentLfl === null && heard.state !== 'failed') findings.push('invalid');
  if (isStranger(heard, plannedSerial)) findings.push('stranger');
  return findings;
}

export function isSilent(belief: SensorBelief, limits: SilenceLimits, now: Ms): boolean {
  return now >= nextFindingMs(belief, limits);
}

/** Judged at the last good answer, not at `now`: nobody asking is no sign of a counter at rest. */
function isFrozen(belief: SensorBelief, last: GoodAnswer, limits: BeliefLimits): boolean {
  if (last.heard.counter === undefined || last.heard.state === 'failed') return false;
  return isOver(belief.counterMovedAtMs, limits.silentAfterMs, last.atMs);
}

function isStranger(heard: Heard, plannedSerial: string | null): boolean {
  return plannedSerial !== null && heard.serial !== undefined && heard.serial !== plannedSerial;
}

function isOver(sinceMs: Ms | null, limitMs: Ms, now: Ms): boolean {
  return sinceMs !== null && now - sinceMs >= limitMs;
}

/** Gas at or above the setpoint as of the last good answer: the moment from which a hold counts. */
export function reportsGasNow(belief: SensorBelief, limits: BeliefLimits): boolean {
  const heard = belief.lastGood?.heard;
  if (heard === undefined) return false;
  return heard.state === 'gas' || heard.gasBit || isHigh(heard.gasPercentLfl, limits);
}

/**
 * Moment of the good answer that shows the sensor sound, self-tested and below `clearBelow`; null where the
 * last one does not, or a later request went without.
 */
export function wellAtMs(
  belief: SensorBelief,
  findings: readonly Finding[],
  limits: BeliefLimits,
): Ms | null {
  const last = belief.lastGood;
  if (last === null || findings.length > 0) return null;
  if (!belief.selfTestPassed || belief.unansweredSinceMs !== null) return null;
  const number = last.heard.gasPercentLfl;
  return number !== null && number < limits.clearBelow ? last.atMs : null;
}

/** When silence may come up without a new answer; Infinity where nothing is awaited. */
export function nextFindingMs(belief: SensorBelief, limits: SilenceLimits): number {
  return silentAtMs(belief.unansweredSinceMs, belief.lastGood?.atMs ?? null, limits);
}
