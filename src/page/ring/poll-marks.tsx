/**
 * A stretch of the line with the last questions on it, newest at the right. What became of each is told by
 * its shape: filled, answered; empty, silent; a triangle, an exception; a cross, broken; a dot, on its way.
 */
import { OUTCOMES, W } from '../texts/index.ts';
import type { PollOutcome, WireUnit } from '../types.ts';

const PLACES = 12;
const STEP = 14;
const WIDTH = PLACES * STEP;
const MIDDLE = 8;

const SHAPES: Readonly<Record<PollOutcome, string>> = {
  answered: 'M-3.5 -5h7v10h-7z',
  silent: 'M0 -4.5a4.5 4.5 0 1 0 .01 0z',
  exception: 'M0 -5.5 5.5 4.5h-11z',
  broken: 'M-4 -4 4 4M4 -4 -4 4',
  waiting: 'M0 -2a2 2 0 1 0 .01 0z',
};

/** null: a wire that nobody asks anything. */
export function PollMarks({ recent }: { readonly recent: WireUnit['recent'] | null }) {
  const shown = (recent ?? []).slice(-PLACES);
  const before = PLACES - shown.length;
  const counts = (Object.keys(OUTCOMES) as PollOutcome[]).flatMap((outcome) => {
    const count = shown.filter((one) => one.outcome === outcome).length;
    return count === 0 ? [] : [W.count(outcome, count)];
  });
  return (
    <span
      class="poll-marks"
      {...(counts.length === 0 ? {} : { role: 'img', 'aria-label': W.marks(counts.join(', ')) })}
    >
      <svg viewBox={`0 0 ${WIDTH} ${2 * MIDDLE}`} aria-hidden="true">
        <path class="poll-line" d={`M0 ${MIDDLE}H${WIDTH}`} />
        {shown.map(({ atMs, outcome }, index) => (
          <path
            key={`${atMs} ${index}`}
            class={`poll poll-${outcome}`}
            transform={`translate(${(before + index + 0.5) * STEP} ${MIDDLE})`}
            d={SHAPES[outcome]}
          />
        ))}
      </svg>
    </span>
  );
}
