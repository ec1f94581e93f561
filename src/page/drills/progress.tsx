/** A drill as a line from its beginning to its end, a stroke at each step, and how far it has come. */
import { formatClock, formatDuration } from '../../units/format.ts';
import { R } from '../texts/index.ts';
import type { DrillStatus } from '../types.ts';

const WIDTH = 1000;

interface ProgressProps {
  readonly drill: DrillStatus;
  readonly nowMs: number;
}

export function Progress({ drill, nowMs }: ProgressProps) {
  const { beganAtMs, lengthMs, steps, state } = drill;
  // Bench time has gone on since it was stopped: its steps tell how far it came.
  if (state === 'stopped') return null;
  const passedMs = state === 'judged' ? lengthMs : Math.min(lengthMs, Math.max(0, nowMs - beganAtMs));
  const x = (atMs: number): number => (lengthMs > 0 ? Math.min(1, atMs / lengthMs) * WIDTH : 0);
  return (
    <div class="progress">
      <svg class="progress-line" viewBox={`0 0 ${WIDTH} 20`} preserveAspectRatio="none" aria-hidden="true">
        <rect class="level-scale" y="7" width={WIDTH} height="6" />
        <rect class="level-fill" y="7" width={x(passedMs)} height="6" />
        {steps.map(({ atMs }, index) => (
          <path key={`${atMs} ${index}`} class="progress-step" d={`M${x(atMs)} 1v18`} />
        ))}
      </svg>
      <span class="figure">{R.progress(formatClock(passedMs), formatDuration(lengthMs))}</span>
    </div>
  );
}
