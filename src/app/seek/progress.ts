/** How a search goes, on standard error: in place where somebody looks on, else a line now and then. */
import type { Coverage, Finding } from '../../../sim/seek/index.ts';
import { marginText } from '../report/words.ts';

export interface SeekProgress {
  readonly tell: (coverage: Coverage, findings: readonly Finding[]) => void;
  readonly end: () => void;
}

const IN_PLACE_EVERY_S = 0.2;
const LINE_EVERY_S = 10;
const CLEAR_LINE = '\r\u001B[K';

export function seekProgress(seconds: () => number): SeekProgress {
  const { isTTY } = process.stderr;
  const everyS = isTTY ? IN_PLACE_EVERY_S : LINE_EVERY_S;
  let toldS = 0;
  return {
    tell(coverage, findings) {
      const nowS = seconds();
      if (nowS - toldS < everyS) return;
      toldS = nowS;
      const text = progressText(coverage, findings.length, nowS);
      process.stderr.write(isTTY ? `${CLEAR_LINE}${text}` : `${text}\n`);
    },
    end() {
      if (isTTY) process.stderr.write(CLEAR_LINE);
    },
  };
}

function progressText({ drills, rules, pairs, outside }: Coverage, found: number, seconds: number): string {
  const exercised = [...rules.values()].filter((rule) => rule.exercised > 0).length;
  const margins = [...rules].flatMap(([id, { leastMarginS }]) =>
    leastMarginS === null || leastMarginS <= 0 ? [] : [{ id, leastMarginS }],
  );
  const least = margins.toSorted((one, other) => one.leastMarginS - other.leastMarginS)[0];
  return [
    `${drills} drills`,
    `${(drills / Math.max(seconds, 1e-3)).toFixed(1)} a second`,
    `${exercised} of ${rules.size} rules exercised`,
    `${pairs.size} pairs of faults`,
    `${outside.states} outside states`,
    `${found} found`,
    ...(least === undefined ? [] : [`closest ${least.id} ${marginText(least.leastMarginS)}`]),
  ].join(', ');
}
