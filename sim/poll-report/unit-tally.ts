/**
 * What is counted of one unit id of a line. The memory of it has a limit whatever a client sends: a unit has
 * a few counters, at most 256 function and exception codes (a byte each), and RANGES_MAX ranges.
 */
import { type GapTally, newGaps } from './gaps.ts';
import type { Stretch } from './request-of.ts';
import { add, type Running, running } from './running.ts';

/** Distinct ranges kept of a unit; a controller asks for a handful, and a scan of all would fill any list. */
export const RANGES_MAX = 32;

export interface RangeTally extends Stretch {
  count: number;
  firstMs: number;
  lastMs: number;
  /** null where what came between voids the interval, such as a power cut. */
  sinceMs: number | null;
  /** Between two requests for it. */
  readonly intervals: Running;
  /** The same, where the first was answered: no retry is among them. */
  readonly settled: Running;
  /** Settled intervals since the line's last pause. */
  turns: number;
  /** Settled intervals of less than half of their mean so far. */
  quick: number;
  quickAtMs: number | null;
  /** The last two settled intervals, the later first. */
  last: readonly [number, number];
  /** How far a settled interval is from the one before, and from the one before that. */
  readonly stepOne: Running;
  readonly stepTwo: Running;
  /** Intervals in which no other unit of the line was waited for in vain, and those in which one was. */
  readonly free: Running;
  readonly stalled: Running;
  /** Requests without an answer, to others, in the stalled ones. */
  stalledBy: number;
  readonly refusals: Map<number, number>;
  /** Writes that make sense only with their two words exchanged. */
  swapped: number;
  swappedAtMs: number | null;
  /** When a good answer to the last request for it was out; null where no such answer came, or by a fault. */
  goodAtMs: number | null;
  /** Requests to others that had gone unanswered when it was asked for last. */
  inVainBefore: number;
}

export interface UnitTally {
  readonly unitId: number;
  count: number;
  reads: number;
  firstMs: number;
  lastMs: number;
  readonly gaps: GapTally;
  readonly functions: Map<number, number>;
  readonly exceptions: Map<number, number>;
  readonly ranges: Map<number, RangeTally>;
  /** Requests for ranges beyond RANGES_MAX. */
  otherRanges: number;
  answered: number;
  unanswered: number;
  /** The last of them. */
  unansweredAtMs: number | null;
  silentRun: number;
  silentRunMax: number;
  /** The shortest time from a request that got no answer to the next on the line, whoever it goes to. */
  leastWaitMs: number | null;
  /** All of it. */
  waitedMs: number;
  /** Time to an answer that no fault had a hand in. */
  readonly answerMs: Running;
  /** Answers that the controller did not wait for; exchange.ts says what is counted. */
  askedAgain: number;
  overtaken: number;
  outrunByFault: number;
  /** The last that was the controller's doing. */
  outrunAtMs: number | null;
  /** From a request to its repetition before the answer was out. */
  readonly patience: Running;
  /** Answers of the device's own with exception 01, 02 or 03. */
  unsound: number;
}

export function newUnit(unitId: number, now: number): UnitTally {
  return {
    unitId,
    count: 0,
    reads: 0,
    firstMs: now,
    lastMs: now,
    gaps: newGaps(),
    functions: new Map(),
    exceptions: new Map(),
    ranges: new Map(),
    otherRanges: 0,
    answered: 0,
    unanswered: 0,
    unansweredAtMs: null,
    silentRun: 0,
    silentRunMax: 0,
    leastWaitMs: null,
    waitedMs: 0,
    answerMs: running(),
    askedAgain: 0,
    overtaken: 0,
    outrunByFault: 0,
    outrunAtMs: null,
    patience: running(),
    unsound: 0,
  };
}

/** The tally of a range; null where there is no room for another. */
export function rangeOf(unit: UnitTally, stretch: Stretch, now: number): RangeTally | null {
  const { way, functionCode, address, quantity } = stretch;
  const key = ((functionCode * 2 + Number(way === 'write')) * 0x10000 + address) * 0x10000 + quantity;
  const known = unit.ranges.get(key);
  if (known !== undefined) return known;
  if (unit.ranges.size >= RANGES_MAX) {
    unit.otherRanges += 1;
    return null;
  }
  const range = newRange(stretch, now);
  unit.ranges.set(key, range);
  return range;
}

function newRange(stretch: Stretch, now: number): RangeTally {
  return {
    ...stretch,
    count: 0,
    firstMs: now,
    lastMs: now,
    sinceMs: null,
    intervals: running(),
    settled: running(),
    turns: 0,
    quick: 0,
    quickAtMs: null,
    last: [0, 0],
    stepOne: running(),
    stepTwo: running(),
    free: running(),
    stalled: running(),
    stalledBy: 0,
    refusals: new Map(),
    swapped: 0,
    swappedAtMs: null,
    goodAtMs: null,
    inVainBefore: 0,
  };
}

/**
 * `cameMs`: when the request came, be its turn later; whoever asks before the last answer was out is not in
 * its usual rhythm. `inVain`: requests to other units of the line that have gone unanswered so far.
 */
export function askRange(range: RangeTally, now: number, cameMs: number, inVain: number): void {
  range.count += 1;
  range.lastMs = now;
  if (range.sinceMs !== null) {
    const interval = now - range.sinceMs;
    add(range.intervals, interval);
    if (range.goodAtMs !== null && range.goodAtMs <= cameMs)
      settle(range, interval, inVain - range.inVainBefore, now);
  }
  range.sinceMs = now;
  range.inVainBefore = inVain;
  range.goodAtMs = null;
}

function settle(range: RangeTally, interval: number, inVain: number, now: number): void {
  const { settled, last } = range;
  range.turns += 1;
  if (settled.count > 0 && interval < settled.mean / 2) {
    range.quick += 1;
    range.quickAtMs = now;
  }
  if (settled.count > 0) add(range.stepOne, Math.abs(interval - last[0]));
  if (settled.count > 1) add(range.stepTwo, Math.abs(interval - last[1]));
  range.last = [interval, last[0]];
  add(settled, interval);
  add(inVain === 0 ? range.free : range.stalled, interval);
  range.stalledBy += inVain;
}

export function countOne(counts: Map<number, number>, code: number): void {
  counts.set(code, (counts.get(code) ?? 0) + 1);
}
