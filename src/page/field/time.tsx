/** Bench time as a class sees it. */
import { formatClock } from '../../units/format.ts';
import type { FieldView } from '../class/types.ts';
import { F } from '../texts/field.ts';

export function FieldTime({ field: { nowMs, paused, speed } }: { readonly field: FieldView }) {
  return (
    <p class="field-time">
      {F.benchTime} <span class="figure">{formatClock(nowMs)}</span>
      {paused && <span class="clock-paused"> {F.standsStill}</span>}
      {!paused && speed !== 1 && <span class="quiet"> {F.faster(speed)}</span>}
    </p>
  );
}
