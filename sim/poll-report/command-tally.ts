/** The commands that a controller writes to the field I/O: every coil at least once, again and again. */
import type { Stretch } from './request-of.ts';
import { tableOf } from './request-of.ts';

export interface CommandTally {
  readonly coils: ReadonlyMap<number, string>;
  readonly awaited: Set<number>;
  /** Coils that were ever written. */
  readonly written: Set<number>;
  writes: number;
  firstMs: number | null;
  complete: number;
  lastCompleteMs: number | null;
  longestGapMs: number;
}

export function newCommands(coils: ReadonlyMap<number, string>): CommandTally {
  return {
    coils,
    awaited: new Set(coils.keys()),
    written: new Set(),
    writes: 0,
    firstMs: null,
    complete: 0,
    lastCompleteMs: null,
    longestGapMs: 0,
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
  if (tally.lastCompleteMs !== null)
    tally.longestGapMs = Math.max(tally.longestGapMs, now - tally.lastCompleteMs);
  tally.lastCompleteMs = now;
}
