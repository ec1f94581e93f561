/** What is counted of one line: its units, the commands to its field I/O, and the request that is out. */
import { BROADCAST, EXCEPTION_FLAG, EXCEPTIONS } from '../../src/modbus/index.ts';
import type { Observation } from '../world/observation.ts';
import { type CommandTally, takeCommands } from './command-tally.ts';
import { type Exchange, markOf, newExchange, outrun, waitedFor, wasInVain } from './exchange.ts';
import { beginGap, endGap } from './gaps.ts';
import { endOfPause, newPauses, type PauseTally, pausesForget } from './pauses.ts';
import type { LinePlan } from './planned.ts';
import { type AskedFor, askedFor, type Stretch, tableOf } from './request-of.ts';
import { add, type Running, running } from './running.ts';
import { askRange, countOne, newUnit, type RangeTally, rangeOf, type UnitTally } from './unit-tally.ts';
import { isSwapped } from './word-order.ts';

export interface LineTally {
  readonly plan: LinePlan;
  /** By unit id, a byte: 256 at most. */
  readonly units: Map<number, UnitTally>;
  /** null where the field I/O is on another line. */
  readonly commands: CommandTally | null;
  requests: number;
  firstMs: number | null;
  lastMs: number | null;
  /** Requests that no device answered, broadcasts left out. */
  inVain: number;
  /** How long they were waited for. */
  waitedMs: number;
  readonly pauses: PauseTally;
  /** The last request that came. */
  last: Exchange | null;
  /** Requests at a gateway whose turn has not come, in their order. */
  readonly waiting: { readonly mark: string; readonly cameMs: number }[];
  readonly answerMs: Running;
}

type Seen<Kind extends Observation['kind']> = Extract<Observation, { kind: Kind }>;

/** As many as the gateway keeps; should it keep more, the oldest is forgotten. */
const WAITING_MAX = 16;
const UNSOUND: ReadonlySet<number> = new Set([
  EXCEPTIONS.illegalFunction.code,
  EXCEPTIONS.illegalDataAddress.code,
  EXCEPTIONS.illegalDataValue.code,
]);

export function newLine(plan: LinePlan, commands: CommandTally | null): LineTally {
  return {
    plan,
    units: new Map(),
    commands,
    requests: 0,
    firstMs: null,
    lastMs: null,
    inVain: 0,
    waitedMs: 0,
    pauses: newPauses(plan.pauseMs),
    last: null,
    waiting: [],
    answerMs: running(),
  };
}

/** A request found its line taken; it is asked when its turn comes, or never. */
export function lineWaits(line: LineTally, { unitId, pdu, atMs }: Seen<'waits'>): void {
  const mark = markOf(unitId, pdu);
  comesAfter(line, mark, atMs);
  line.waiting.push({ mark, cameMs: atMs });
  if (line.waiting.length > WAITING_MAX) line.waiting.shift();
  const unit = unitOf(line, unitId, atMs);
  line.last = newExchange({ unit, mark, cameMs: atMs, asked: askedFor(pdu), ranges: [], askedMs: null });
}

export function lineAsked(line: LineTally, { unitId, pdu, atMs }: Seen<'asked'>): void {
  const mark = markOf(unitId, pdu);
  const turn = line.waiting.findIndex((one) => one.mark === mark);
  const waited = line.waiting[turn];
  // Turns come in order: whoever stood before has gone. A request that need not wait found nobody waiting.
  line.waiting.splice(0, turn < 0 ? line.waiting.length : turn + 1);
  const cameMs = waited?.cameMs ?? atMs;
  if (waited === undefined) comesAfter(line, mark, atMs);
  else isOver(line, atMs);
  const unit = unitOf(line, unitId, atMs);
  const asked = askedFor(pdu);
  count(line, unit, asked, atMs);
  const ranges = asked.stretches.flatMap((stretch) => touched(line, unit, stretch, asked, atMs, cameMs));
  line.last = newExchange({ unit, mark, cameMs, askedMs: atMs, asked, ranges });
}

/** An answer that a fault or a gateway worked on is told as `sent` first, which says more. */
export function lineAnswered(line: LineTally, { unitId, pdu, heardAtMs, atMs }: Seen<'answered'>): void {
  const { last, plan } = line;
  if (last?.unit.unitId !== unitId || last.told) return;
  const outMs = heardAtMs + plan.sendMs(pdu.length);
  wentOut(line, last, { outMs, exception: refusalOf(pdu), reply: pdu, atMs });
}

export function lineSent(
  line: LineTally,
  { unitId, sentAtMs, exception, reply, struck, atMs }: Seen<'sent'>,
) {
  const { last } = line;
  if (last?.unit.unitId !== unitId || last.told) return;
  last.struck = struck;
  wentOut(line, last, { outMs: sentAtMs, exception, reply, atMs });
}

/** After a power cut: what lies between two requests then says nothing of the controller's pace. */
export function lineForgets(line: LineTally): void {
  pausesForget(line.pauses);
  forgetIntervals(line);
}

function forgetIntervals(line: LineTally): void {
  line.last = null;
  line.waiting.length = 0;
  if (line.commands !== null) line.commands.lastCompleteMs = null;
  for (const unit of line.units.values()) {
    unit.gaps.sinceMs = null;
    for (const range of unit.ranges.values()) range.sinceMs = null;
  }
}

function comesAfter(line: LineTally, mark: string, now: number): void {
  const { pauses, last } = line;
  if (last !== null) outrun(last, mark, now);
  const isFirst = pauses.lastMs === null;
  const ended = endOfPause(pauses, now);
  isOver(line, now, ended === 'pause');
  if (!isFirst && ended === null) return;
  if (ended === 'pause') forgetIntervals(line);
  for (const unit of line.units.values()) {
    for (const range of unit.ranges.values()) range.turns = 0;
    // Whom nobody asks from here on is left out.
    if (ended !== 'pace' && unit.reads > 0) beginGap(unit.gaps, now, line.waitedMs - unit.waitedMs);
  }
}

/** What became of the last exchange is known once another request comes. */
function isOver(line: LineTally, now: number, isPause = false): void {
  const { last } = line;
  if (last === null) return;
  const inVain = wasInVain(last);
  if (inVain) line.inVain += 1;
  if (inVain && !isPause) line.waitedMs += waitedFor(last, now);
  if (line.commands !== null && isToFieldIo(line, last)) commanded(line.commands, last, inVain);
}

function unitOf({ units }: LineTally, unitId: number, now: number): UnitTally {
  const unit = units.get(unitId) ?? newUnit(unitId, now);
  units.set(unitId, unit);
  return unit;
}

function count(line: LineTally, unit: UnitTally, { functionCode, stretches }: AskedFor, now: number): void {
  const { plan } = line;
  line.requests += 1;
  line.firstMs ??= now;
  line.lastMs = now;
  unit.count += 1;
  unit.lastMs = now;
  countOne(unit.functions, functionCode);
  if (!stretches.some(({ way }) => way === 'read')) return;
  // Of the field I/O its inputs alone tell what a contact sensor says.
  const isFieldIo = plan.planned.some(({ unitId, kind }) => unitId === unit.unitId && kind === 'fieldIo');
  if (isFieldIo && tableOf(functionCode) !== 'discrete') return;
  unit.reads += 1;
  const waitedMs = line.waitedMs - unit.waitedMs;
  endGap(unit.gaps, now, waitedMs, plan);
  beginGap(unit.gaps, now, waitedMs);
}

function touched(
  line: LineTally,
  unit: UnitTally,
  stretch: Stretch,
  { words }: AskedFor,
  now: number,
  cameMs: number,
): readonly RangeTally[] {
  const range = rangeOf(unit, stretch, now);
  if (range === null) return [];
  askRange(range, now, cameMs, line.inVain - unit.unanswered);
  line.pauses.turns = Math.max(line.pauses.turns, range.turns);
  if (stretch.way === 'write' && words !== null && isTurnedRound(line.plan, unit.unitId, words)) {
    range.swapped += 1;
    range.swappedAtMs = now;
  }
  return [range];
}

/** Any planned number of two words that is written whole, its words the wrong way round. */
function isTurnedRound(plan: LinePlan, unitId: number, words: NonNullable<AskedFor['words']>): boolean {
  return plan.planned.some(({ unitId: at, sensor }) => {
    if (at !== unitId || sensor === null) return false;
    return Object.values(sensor.codec.profile.points).some((point) => {
      const [first, second] = words.values.subarray(Math.max(0, point.address - words.address));
      const isInside = point.table === 'holding' && point.address >= words.address;
      return isInside && first !== undefined && second !== undefined && isSwapped(point, first, second);
    });
  });
}

interface WentOut {
  readonly outMs: number | null;
  /** As it went out. */
  readonly exception: number | null;
  /** The device's own answer; null where it gave none. */
  readonly reply: Uint8Array | null;
  readonly atMs: number;
}

function wentOut(line: LineTally, exchange: Exchange, { outMs, exception, reply, atMs }: WentOut): void {
  const { unit, struck } = exchange;
  exchange.told = true;
  exchange.outMs = outMs;
  exchange.heard = outMs !== null && reply !== null;
  if (exception !== null) countOne(unit.exceptions, exception);
  const own = reply === null ? null : refusalOf(reply);
  exchange.refused = own !== null;
  if (own !== null) {
    if (UNSOUND.has(own)) unit.unsound += 1;
    for (const range of exchange.ranges) countOne(range.refusals, own);
  } else if (exchange.heard && !struck) {
    for (const range of exchange.ranges) range.goodAtMs = outMs;
  }
  if (outMs === null || reply === null) return;
  unit.answered += 1;
  unit.silentRun = 0;
  if (struck) return;
  add(unit.answerMs, outMs - atMs);
  add(line.answerMs, outMs - atMs);
}

function isToFieldIo({ plan }: LineTally, { unit: { unitId } }: Exchange): boolean {
  return unitId === BROADCAST || plan.planned.some((one) => one.unitId === unitId && one.kind === 'fieldIo');
}

/** Whoever finds the field I/O silent may well leave the rest of its commands: that gap is not its own. */
function commanded(commands: CommandTally, { asked, askedMs, refused }: Exchange, inVain: boolean): void {
  if (inVain) commands.lastCompleteMs = null;
  if (askedMs === null || refused) return;
  for (const stretch of asked.stretches) takeCommands(commands, stretch, askedMs);
}

function refusalOf(pdu: Uint8Array): number | null {
  const [code = 0, exception = 0] = pdu;
  return (code & EXCEPTION_FLAG) === 0 ? null : exception;
}
