/** Mistakes of the line's own settings: too short a time-out, other speed, parity or mode. */

import { formatDuration } from '../../../src/units/index.ts';
import type { LineReport } from '../report.ts';
import { type Finding, type Seen, TIMES_MIN } from './seen.ts';
import { facesText } from './words.ts';

/**
 * Of the answers of a line, those outrun by something else: two right controllers may overlap now and then.
 */
const OVERTAKEN_SHARE_MIN = 0.5;
const ROUNDED_MS = 50;

export function timeoutTooShort({ report, rig }: Seen): readonly Finding[] {
  return report.lines.flatMap((line): Finding[] => {
    const total = (of: 'askedAgain' | 'overtaken'): number =>
      line.units.reduce((sum, { outrun }) => sum + outrun[of], 0);
    const [askedAgain, overtaken] = [total('askedAgain'), total('overtaken')];
    const isOvertaken = overtaken >= 2 * TIMES_MIN && overtaken >= line.requests * OVERTAKEN_SHARE_MIN;
    if (line.answer === null || (askedAgain < TIMES_MIN && !isOvertaken)) return [];
    const slowestMs = line.answer.maxMs;
    const enoughMs = Math.ceil((2 * slowestMs) / ROUNDED_MS) * ROUNDED_MS;
    const patience = line.units.flatMap(({ outrun }) =>
      outrun.patience === null ? [] : [outrun.patience.minMs],
    );
    const waits = patience.length === 0 ? '' : `, after ${formatDuration(Math.min(...patience))}`;
    const what =
      askedAgain >= TIMES_MIN
        ? `On line ${line.id} the controller asked again ${askedAgain} times${waits}, while the answer was still on its way`
        : `On line ${line.id} ${overtaken} answers were still on their way when the next request came`;
    const pace = rig.lines.find(({ id }) => id === line.id)?.pace;
    const speed = pace ? ` at ${pace.baud} baud` : '';
    return [
      {
        line: line.id,
        unitId: null,
        who: null,
        text:
          `${what}: an answer takes up to ${formatDuration(slowestMs)} here${speed}. Give it a time-out of ` +
          `${formatDuration(enoughMs)} or more, or make sure that nobody else asks on this line.`,
        seenAtMs: Math.max(...line.units.map(({ outrun }) => outrun.lastMs ?? 0)),
      },
    ];
  });
}

/** Of all that came, what was too broken to be a frame. */
const BROKEN_MIN = 10;
const BROKEN_SHARE_MIN = 0.1;

export function serialSettings({ report, rig }: Seen): readonly Finding[] {
  return report.lines.flatMap((line: LineReport): Finding[] => {
    const broken = line.thrownAway ?? 0;
    const plan = rig.lines.find(({ id }) => id === line.id);
    if (plan === undefined || broken < BROKEN_MIN) return [];
    if (broken < (broken + line.requests) * BROKEN_SHARE_MIN) return [];
    const understood = line.requests === 0 ? 'none was understood' : `${line.requests} were understood`;
    return [
      {
        line: line.id,
        unitId: null,
        who: null,
        text:
          `On line ${line.id} ${broken} frames came broken and were thrown away; ${understood}. The line is ` +
          `${facesText(plan)}: set the controller to the same speed, parity and stop bits, and to RTU; then look at ` +
          'wires, polarity and termination.',
      },
    ];
  });
}
