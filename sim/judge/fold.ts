/**
 * The fold of one sensor over one life of the controller: requests and answers in, reasons out.
 *
 * Readings where the words leave room:
 * - The last good answer stands until the next one; warming up and no answer change none of what it said.
 * - An answer may show only some of the points (a partial read): the others stay as last shown.
 * - Gas needs state `measuring` to end: a sensor that says it failed has not said that the gas is gone.
 * - A number that dips below the setpoint and rises again before it was below `clearBelow` makes one
 *   reason a rise: whoever let go in the dip, as the lax end allows, has to come back.
 * - A silence of exactly `silentAfter` is no reason yet, but whoever acts on it may: the sensor was not well.
 * - A counter stands still from its last move on, but only while good answers keep coming: after a pause
 *   that neither `silentAfter` nor `askWithin` explains, it counts from the answer that ended the pause.
 */
import type { JudgedPolicy } from './policy.ts';
import type { Reason, ReasonKind } from './reason.ts';
import type { Span } from './spans.ts';
import { clock } from './text.ts';
import type { Answer, SensorTrace } from './trace.ts';

export interface Fold {
  readonly sensor: SensorTrace;
  readonly policy: JudgedPolicy;
  readonly life: Span;
  readonly reasons: Reason[];
  readonly well: Span[];
  readonly signs: number[];
  readonly whiffs: number[];
  readonly standing: Map<ReasonKind, Standing>;
  /** The first request since the last answer that got none. */
  unansweredMs: number | null;
  /** One of those was answered, only not with a state. */
  stateless: boolean;
  /** Since it last left a request unanswered, until it was good with its self-test passed. */
  warming: Warming | null;
  /**
   * The first request since the last good answer that got no good one; counted once there was a good one.
   */
  notGoodMs: number | null;
  lastGoodMs: number | null;
  wellSinceMs: number | null;
  number: number | null | undefined;
  counter: number | undefined;
  counterMovedMs: number;
}

/** Answers that it warms up. */
interface Warming {
  readonly fromMs: number;
  /** The first good answer after them; null while they last. */
  readonly untilMs: number | null;
}

/** A reason that has not ended by its strict end. */
interface Standing {
  readonly rises: Rise[];
}

interface Rise {
  readonly fromMs: number;
  readonly said: string;
  /** The last answer that still said so. */
  lastSaidMs: number;
  /** False once an answer no longer said so. */
  saying: boolean;
}

/** The counter moves once a second: two answers further apart than this that show the same say it rests. */
const COUNTER_PERIOD_MS = 1000;

export function newFold(sensor: SensorTrace, policy: JudgedPolicy, life: Span): Fold {
  return {
    sensor,
    policy,
    life,
    reasons: [],
    well: [],
    signs: [],
    whiffs: [],
    standing: new Map(),
    unansweredMs: null,
    stateless: false,
    warming: null,
    notGoodMs: null,
    lastGoodMs: null,
    wellSinceMs: null,
    number: undefined,
    counter: undefined,
    counterMovedMs: life.fromMs,
  };
}

export function foldUnanswered(fold: Fold, askedMs: number, stateless: boolean): void {
  fold.signs.push(askedMs);
  fold.stateless = stateless || (fold.unansweredMs !== null && fold.stateless);
  fold.warming = null;
  fold.unansweredMs ??= askedMs;
  missGood(fold, askedMs);
}

export function foldAnswer(fold: Fold, askedMs: number, answer: Answer): void {
  noticeSilence(fold, answer.atMs);
  if (!answer.selfTestPassed || answer.state === 'warming-up') fold.signs.push(answer.atMs);
  const { unansweredMs } = fold;
  if (unansweredMs !== null && answer.atMs - unansweredMs >= fold.policy.silentAfterMs)
    endWell(fold, unansweredMs);
  fold.unansweredMs = null;
  if (answer.state === 'warming-up') {
    missGood(fold, askedMs);
    endWell(fold, answer.atMs);
    fold.warming = { fromMs: fold.warming?.fromMs ?? answer.atMs, untilMs: null };
    return;
  }
  fold.notGoodMs = null;
  fold.warming &&= { ...fold.warming, untilMs: fold.warming.untilMs ?? answer.atMs };
  if (answer.selfTestPassed) {
    end(fold, 'silent', answer.atMs);
    fold.warming = null;
  }
  foldNumber(fold, answer);
  foldCounter(fold, answer);
  foldState(fold, answer);
  foldSerial(fold, answer);
  fold.lastGoodMs = answer.atMs;
  foldWell(fold, answer);
}

/** Closes what still stands when the life ends. */
export function endFold(fold: Fold): void {
  const { toMs } = fold.life;
  noticeSilence(fold, toMs);
  endWell(fold, toMs);
  for (const kind of [...fold.standing.keys()]) end(fold, kind, toMs, true);
}

/** Warming up is an answer, though not a good one, until the sensor has been good once. */
function missGood(fold: Fold, askedMs: number): void {
  if (fold.lastGoodMs !== null) fold.notGoodMs ??= askedMs;
}

/** Silence has begun if `silentAfter` had passed before this moment. */
function noticeSilence(fold: Fold, nowMs: number): void {
  const sinceMs = Math.min(fold.unansweredMs ?? Infinity, fold.notGoodMs ?? Infinity);
  const fromMs = sinceMs + fold.policy.silentAfterMs;
  if (fromMs >= nowMs || fold.standing.has('silent')) return;
  begin(fold, 'silent', fromMs, () => missingWords(fold, sinceMs));
}

function missingWords({ unansweredMs, stateless }: Fold, sinceMs: number): string {
  const since = `since it was asked at ${clock(sinceMs)}`;
  if (unansweredMs !== sinceMs) return `had given no good answer ${since}`;
  return stateless
    ? `had answered ${since}, but never with its state: no read that it answered asked for that`
    : `had not answered ${since}`;
}

/** What a silence that seemed over was still waiting for. */
function warmingWords({ warming }: Fold): string {
  if (warming === null) return '';
  const until = warming.untilMs === null ? '' : ` until ${clock(warming.untilMs)}`;
  return `; it answered from ${clock(warming.fromMs)} on, warming up${until}, which is no reading yet`;
}

function foldNumber(fold: Fold, answer: Answer): void {
  const { gasPercentLfl } = answer;
  if (gasPercentLfl === undefined) return;
  fold.number = gasPercentLfl;
  if (gasPercentLfl === null) {
    begin(fold, 'invalid', answer.atMs, () => `gave no valid number at ${clock(answer.atMs)}`);
    return;
  }
  end(fold, 'invalid', answer.atMs);
  if (gasPercentLfl >= fold.policy.clearBelowPercentLfl) fold.signs.push(answer.atMs);
  else if (gasPercentLfl > 0) fold.whiffs.push(answer.atMs);
}

function foldCounter(fold: Fold, answer: Answer): void {
  const { atMs, counter } = answer;
  if (answer.state === 'failed') {
    // Good answers that are neither measuring nor gas: nothing is said of the counter.
    end(fold, 'frozen', atMs);
    fold.counter = undefined;
    return;
  }
  if (counter === undefined) return;
  const { silentAfterMs, askWithinMs } = fold.policy;
  const paused = fold.lastGoodMs !== null && atMs - fold.lastGoodMs > Math.max(silentAfterMs, askWithinMs);
  if (counter !== fold.counter) end(fold, 'frozen', atMs);
  if (counter !== fold.counter || (paused && !fold.standing.has('frozen'))) {
    fold.counter = counter;
    fold.counterMovedMs = atMs;
    return;
  }
  const restsMs = atMs - fold.counterMovedMs;
  if (restsMs > COUNTER_PERIOD_MS) fold.signs.push(atMs);
  if (restsMs < silentAfterMs) return;
  const movedMs = fold.counterMovedMs;
  begin(fold, 'frozen', movedMs + silentAfterMs, () => `showed counter ${counter} since ${clock(movedMs)}`);
}

function foldState(fold: Fold, answer: Answer): void {
  const { atMs, state, gasBit } = answer;
  const { setpointPercentLfl, clearBelowPercentLfl } = fold.policy;
  const { number } = fold;
  const says = state === 'gas' || gasBit;
  const high = typeof number === 'number' && number >= setpointPercentLfl;
  const low = typeof number === 'number' && number < clearBelowPercentLfl;
  const level = (): string => (typeof number === 'number' ? `, ${number} %LFL,` : '');

  if (says || (high && fold.standing.has('gas'))) {
    begin(fold, 'gas', atMs, () => `reported gas${level()} at ${clock(atMs)}`);
  } else if (state === 'measuring' && (low || number === undefined)) end(fold, 'gas', atMs);
  else pause(fold, 'gas');

  const contradicts = high && state === 'measuring' && !gasBit && answer.gasPercentLfl !== undefined;
  if (contradicts || (high && fold.standing.has('contradiction'))) {
    const said = (): string =>
      `gave a number at or above the setpoint${level()} and said clear at ${clock(atMs)}`;
    begin(fold, 'contradiction', atMs, said);
  } else if (low) end(fold, 'contradiction', atMs);
  else pause(fold, 'contradiction');

  if (state === 'failed') begin(fold, 'failed', atMs, () => `reported that it had failed at ${clock(atMs)}`);
  else end(fold, 'failed', atMs);
}

function foldSerial(fold: Fold, answer: Answer): void {
  const planned = fold.sensor.serial;
  const { serial } = answer;
  if (planned === null || serial === undefined) return;
  if (serial === planned) end(fold, 'stranger', answer.atMs);
  else {
    const said = (): string => `showed serial ${serial} at ${clock(answer.atMs)}, planned is ${planned}`;
    begin(fold, 'stranger', answer.atMs, said);
  }
}

function foldWell(fold: Fold, answer: Answer): void {
  const { number } = fold;
  const low = number === undefined || (number !== null && number < fold.policy.clearBelowPercentLfl);
  const well = answer.selfTestPassed && answer.state === 'measuring' && !answer.gasBit && low;
  if (well) fold.wellSinceMs ??= answer.atMs;
  else endWell(fold, answer.atMs);
}

function endWell(fold: Fold, atMs: number): void {
  if (fold.wellSinceMs !== null) fold.well.push({ fromMs: fold.wellSinceMs, toMs: atMs });
  fold.wellSinceMs = null;
}

/** An answer says so: a reason begins, goes on, or rises again after a dip. */
function begin(fold: Fold, kind: ReasonKind, atMs: number, said: () => string): void {
  const standing = fold.standing.get(kind);
  const rise = standing?.rises.at(-1);
  if (rise?.saying === true) {
    rise.lastSaidMs = atMs;
    return;
  }
  const risen: Rise = { fromMs: atMs, said: `${fold.sensor.id} ${said()}`, lastSaidMs: atMs, saying: true };
  if (standing === undefined) fold.standing.set(kind, { rises: [risen] });
  else standing.rises.push(risen);
}

/** An answer no longer says so, but does not end it either. */
function pause(fold: Fold, kind: 'gas' | 'contradiction'): void {
  const rise = fold.standing.get(kind)?.rises.at(-1);
  if (rise !== undefined) rise.saying = false;
}

function end(fold: Fold, kind: ReasonKind, atMs: number, byCut = false): void {
  const standing = fold.standing.get(kind);
  if (standing === undefined) return;
  fold.standing.delete(kind);
  const still = kind === 'silent' ? warmingWords(fold) : '';
  const dips = kind === 'gas' || kind === 'contradiction';
  for (const rise of standing.rises) {
    const open = byCut && rise.saying;
    const laxUntilMs = dips && !open ? rise.lastSaidMs : atMs;
    const { fromMs, said } = rise;
    fold.reasons.push({
      sensor: fold.sensor.id,
      kind,
      fromMs,
      untilMs: atMs,
      laxUntilMs,
      open,
      lifeEndMs: fold.life.toMs,
      said: said + still,
    });
  }
}
