/** On and off as shape and word: the bar and the ring of IEC 60417-5007 and -5008. */
import { T } from '../texts/index.ts';

export function OnOff({
  on,
  words = [T.on, T.off],
}: {
  readonly on: boolean;
  readonly words?: readonly [string, string];
}) {
  return (
    <span class={on ? 'on-off is-on' : 'on-off'}>
      <svg class="on-off-shape" viewBox="0 0 12 12" aria-hidden="true">
        {on ? <rect x="4" y="0.5" width="4" height="11" rx="1" /> : <circle cx="6" cy="6" r="4.5" />}
      </svg>
      {on ? words[0] : words[1]}
    </span>
  );
}
