/** Nobody asked anybody: the controller's own pause, told of the line and of no unit. */
import { formatClock, formatDuration } from '../../../src/units/index.ts';
import type { Finding, Seen } from './seen.ts';

export function paused({ report }: Seen): readonly Finding[] {
  return report.lines.flatMap(({ id, pauses: { count, longestMs, untilMs } }): Finding[] => {
    if (untilMs === null) return [];
    const until = `until ${formatClock(untilMs)} of bench time`;
    const when =
      count === 1
        ? `for ${formatDuration(longestMs)}, ${until}`
        : `${count} times, for ${formatDuration(longestMs)} at most, the last ${until}`;
    const text =
      `On line ${id} nobody was asked anything ${when}. A restart of the controller looks like that, and so does a ` +
      'survey some time before it starts. If it was neither, look for what holds the whole controller up: ' +
      'meanwhile it hears of no gas.';
    return [{ line: id, unitId: null, who: null, text }];
  });
}
