/** The commands that a controller writes to the field I/O: every coil at least once, again and again. */
import type { Stretch } from './request-of.ts';
import { tableOf } from './request-of.ts';

export interface CommandTally {
  readonly coils: ReadonlyMap<number, string>;
  readonly watchdogMs: number;
  readonly awaited: Set<number>;
  /** Coils that were ever written. */
  readonly written: Set<number>;
  writes: number;
  firstMs: number | null;
  complete: number;
  lastCompleteMs: number | null;
  longestGapMs: number;
  /** When the last of those ended that are longer than the watchdog's. */
  lateAtMs: number | null;
}

export function newCommands(coils: ReadonlyMap<number, string>, watchdogMs: number): CommandTally {
  return {
    coils,
    watchdogMs,
    awaited: new Set(coils.keys()),
    written: new Set(),
    writes: 0,
    firstMs: null,
    complete: 0,
    lastCompleteMs: null,
    longestGapMs: 0,
    lateAtMs: null,
  };
}

/** Told of each write that was not refused. */
export function takeCommands(tally: CommandTally, stretch: Stretch, now: number): void {
  if (stretch.way !== 'write' || tableOf(stretch.functionCode) !== 'coil') return;
  tally.writes += 1;
  tally.firstMs ??= now;
  for (const coil of tally.coils.keys()) {
    if (coil < stretch.address || coil >= stretch.address + stretch.quantity) continue;
    tally.written.add(coil);
    tally.awaited.delete(coil);
  }
  if (tally.awaited.size > 0) return;
  for (const coil of tally.coils.keys()) tally.awaited.add(coil);
  tally.complete += 1;
  const gapMs = now - (tally.lastCompleteMs ?? now);
  tally.longestGapMs = Math.max(tally.longestGapMs, gapMs);
  if (gapMs > tally.watchdogMs) tally.lateAtMs = now;
  tally.lastCompleteMs = now;
}
