/**
 * One request on a line and what becomes of it.
 *
 * An answer is outrun when another request comes to the line while it is still on its way, at least
 * OUTRUN_MS_MIN after the request that it belongs to (whoever sends several at once does not wait at all):
 * `askedAgain` counts those where the newcomer has the same bytes for the same unit, `overtaken` all others.
 * The line is what is seen, not the connection: a second controller on the line counts as the first one
 * would. Where a gateway has the line taken, a request counts from when it came, not from when its turn was.
 */
import { BROADCAST } from '../../src/modbus/index.ts';
import type { AskedFor } from './request-of.ts';
import { add } from './running.ts';
import type { RangeTally, UnitTally } from './unit-tally.ts';

export interface Exchange {
  readonly unit: UnitTally;
  /** Unit and bytes as one text. */
  readonly mark: string;
  readonly cameMs: number;
  /** When its turn was; null while it waits for it at a gateway. */
  readonly askedMs: number | null;
  readonly asked: AskedFor;
  readonly ranges: readonly RangeTally[];
  /** What became of its answer has been told. */
  told: boolean;
  /** When the last byte of the answer goes out; null where nothing does, or nothing is told yet. */
  outMs: number | null;
  /** The device itself answered, and something of it goes out. */
  heard: boolean;
  /** The device itself refused. */
  refused: boolean;
  /** A fault of the wire had a hand in it. */
  struck: boolean;
}

/** Sooner than any time-out that a person would set. */
const OUTRUN_MS_MIN = 5;

export function newExchange(
  of: Pick<Exchange, 'unit' | 'mark' | 'cameMs' | 'asked' | 'ranges' | 'askedMs'>,
): Exchange {
  return { ...of, told: false, outMs: null, heard: false, refused: false, struck: false };
}

export function markOf(unitId: number, pdu: Uint8Array): string {
  return `${unitId}:${String.fromCharCode(...pdu)}`;
}

/** A request comes after this one: was its answer still on its way? */
export function outrun(exchange: Exchange, mark: string, now: number): void {
  const { unit, outMs, cameMs } = exchange;
  const isOnItsWay = exchange.askedMs === null || (outMs !== null && outMs > now);
  if (!isOnItsWay || now - cameMs < OUTRUN_MS_MIN) return;
  if (exchange.struck) {
    unit.outrunByFault += 1;
    return;
  }
  unit.outrunAtMs = now;
  if (exchange.mark === mark) {
    unit.askedAgain += 1;
    add(unit.patience, now - cameMs);
  } else unit.overtaken += 1;
}

/** A request comes after this one: true where the device had said nothing to this one. */
export function wasInVain({ unit, askedMs, heard }: Exchange): boolean {
  if (askedMs === null || heard || unit.unitId === BROADCAST) return false;
  unit.unanswered += 1;
  unit.unansweredAtMs = askedMs;
  unit.silentRun += 1;
  unit.silentRunMax = Math.max(unit.silentRunMax, unit.silentRun);
  return true;
}

/** One that was in vain, and waited for all that time. */
export function waitedFor({ unit, cameMs }: Exchange, now: number): number {
  const waitedMs = now - cameMs;
  unit.waitedMs += waitedMs;
  unit.leastWaitMs = Math.min(unit.leastWaitMs ?? waitedMs, waitedMs);
  return waitedMs;
}
