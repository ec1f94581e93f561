/** Mistakes of the commands: never written, not all of them, too seldom for the watchdog. */

import { listed } from '../../../src/text/words.ts';
import { formatDuration } from '../../../src/units/index.ts';
import { FIELD_IO } from '../planned.ts';
import type { CommandReport, LineReport } from '../report.ts';
import { type Finding, type Seen, TIMES_MIN } from './seen.ts';

/** A controller may look around before it takes over. */
const WATCHDOGS_MIN = 2;
const REQUESTS_MIN = 20;

export function commandsMissing({ report, rig }: Seen): readonly Finding[] {
  if (report.sinceMs === null || report.requests < REQUESTS_MIN) return [];
  const lastMs = Math.max(...report.lines.map((line) => line.lastMs ?? 0));
  const patienceMs = Math.max(rig.policy.askWithinMs, WATCHDOGS_MIN * rig.fieldIo.watchdogMs);
  const forMs = lastMs - report.sinceMs;
  return report.lines.flatMap((line) => {
    const { commands } = line;
    if (commands === null) return [];
    const isHeard = line.units.some(({ unitId, answered }) => unitId === commands.unitId && answered > 0);
    // What a controller leaves out while nobody answers is not a mistake yet.
    const text =
      commands.firstMs !== null && !isHeard ? null : problemOf(commands, lastMs, forMs, patienceMs);
    return text === null
      ? []
      : [
          {
            line: line.id,
            unitId: commands.unitId,
            who: FIELD_IO,
            text: about(line, text),
            seenAtMs: commands.lateAtMs,
          },
        ];
  });
}

function about(line: LineReport, text: string): string {
  const { unitId = 0, watchdogMs = 0 } = line.commands ?? {};
  return (
    `${text} at the field I/O (unit ${unitId} on line ${line.id}). Write every command coil at least once every ` +
    `${formatDuration(watchdogMs)}; else its watchdog drops compressors and heat, and lets fan and dampers go on.`
  );
}

function problemOf(
  { writes, firstMs, complete, longestGapMs, neverWritten, watchdogMs }: CommandReport,
  lastMs: number,
  forMs: number,
  patienceMs: number,
): string | null {
  if (firstMs === null) {
    return forMs > patienceMs ? `No command has been written in ${formatDuration(forMs)}` : null;
  }
  if (complete === 0) {
    if (writes < TIMES_MIN || lastMs - firstMs < WATCHDOGS_MIN * watchdogMs) return null;
    const missed = neverWritten.map(({ coil, commands }) => `${coil} (${commands})`);
    const noun = missed.length === 1 ? 'Coil' : 'Coils';
    return `${noun} ${listed(missed)} never written, so no write is complete,`;
  }
  if (longestGapMs === null || longestGapMs <= watchdogMs) return null;
  return `Complete writes of the commands were up to ${formatDuration(longestGapMs)} apart`;
}
