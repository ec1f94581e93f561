/** Right, half right or not, by shape and word. */
import { S } from '../texts/seat.ts';
import type { Verdict } from './words.ts';

const SHAPES: Readonly<Record<Verdict, string>> = {
  right: 'M2.5 8.5 6.5 12.5 13.5 4',
  half: 'M8 2a6 6 0 1 0 .01 0zM8 2v12',
  wrong: 'M3.5 3.5l9 9M12.5 3.5l-9 9',
  none: 'M3 8h10',
};

export function VerdictMark({ verdict }: { readonly verdict: Verdict }) {
  return (
    <span class={`rating rating-${verdict}`}>
      <svg class="mark" viewBox="0 0 16 16" aria-hidden="true">
        <path d={SHAPES[verdict]} />
      </svg>
      {S.verdicts[verdict]}
    </span>
  );
}
