/** Who did it: the outputs behind a case, by name, and the watchdog where it was the one to act. */
import type { Ground } from './ground.ts';
import { after, intersect, minus, type Spans, spanAt, spanUpTo } from './spans.ts';
import { clock, length } from './text.ts';

/** An output, what mitigation wants of it, and how a sentence says that it is so, or is not. */
interface Part {
  readonly on: Spans;
  readonly wanted: boolean;
  readonly right: string;
  readonly wrong: string;
}

function partsOf({ fan, damper, heat, compressors }: Ground): readonly Part[] {
  const off = (on: Spans, name: string): Part => ({
    on,
    wanted: false,
    right: `${name} commanded off`,
    wrong: `${name} commanded on`,
  });
  return [
    { on: fan, wanted: true, right: 'fan commanded on', wrong: 'fan not commanded on' },
    { on: damper, wanted: true, right: 'dampers commanded open', wrong: 'dampers not commanded open' },
    off(heat, 'heat'),
    ...[...compressors].map(([circuit, on]) => off(on, `compressor ${circuit}`)),
  ];
}

/** What mitigation lacks at a moment. */
export function lackingAt(atMs: number, ground: Ground): string {
  const wrong = partsOf(ground).filter(({ on, wanted }) => (spanAt(on, atMs) !== undefined) !== wanted);
  return listed(wrong.map((part) => part.wrong));
}

/** What runs, or heats, at a moment. */
export function runningAt(atMs: number, ground: Ground): string {
  const running = partsOf(ground).filter(({ on, wanted }) => !wanted && spanAt(on, atMs) !== undefined);
  return listed(running.map((part) => part.wrong));
}

/** What mitigation lacked right before a moment. */
export function lackingBefore(atMs: number, ground: Ground): string {
  return listed(wrongBefore(atMs, ground).map((part) => part.wrong));
}

/** What it was that made mitigation whole at a moment: the last outputs to come round, or the watchdog. */
export function reachedBy(atMs: number, ground: Ground): string {
  if (spanAt(ground.watchdogHolds, atMs)?.fromMs === atMs) return ' (by the field I/O’s watchdog)';
  return listed(wrongBefore(atMs, ground).map((part) => part.right));
}

function wrongBefore(atMs: number, ground: Ground): readonly Part[] {
  return partsOf(ground).filter(({ on, wanted }) => (spanUpTo(on, atMs) !== undefined) !== wanted);
}

const listed = (words: readonly string[]): string => ` (${words.join(', ')})`;

/** A sentence where what went off at that moment was dropped by the watchdog; else none. */
export function droppedAt(atMs: number, { watchdogHolds, policy }: Ground): readonly string[] {
  if (spanAt(watchdogHolds, atMs) === undefined) return [];
  return [
    `No complete write had come for ${length(policy.watchdogMs)} by ${clock(atMs)}, ` +
      'so the field I/O’s watchdog dropped the outputs.',
  ];
}

/** When the watchdog held the outputs though the controller had had its time to write. */
export function heldByWatchdog({ watchdogHolds, commandsLost, acting, policy }: Ground): Spans {
  return intersect(minus(watchdogHolds, commandsLost), after(acting, policy.watchdogMs));
}
