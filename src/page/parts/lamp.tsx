/**
 * A sensor's lamp: our own code after the meaning of colours in IEC 60073. Each colour has a lens shape of
 * its own and stands beside its word; where motion is not wanted it stays lit and the words say the rate.
 */
import type { Lamp } from '../types.ts';

const LENSES: Readonly<Record<Lamp['colour'], string>> = {
  off: 'M9 23 23 9',
  white: 'M16 8.5a7.5 7.5 0 1 0 .01 0z',
  green: 'M9 11a2 2 0 0 1 2-2h10a2 2 0 0 1 2 2v10a2 2 0 0 1-2 2H11a2 2 0 0 1-2-2z',
  red: 'M12.5 7.5h7l5 5v7l-5 5h-7l-5-5v-7z',
  yellow: 'M16 6.5 25 22.5H7z',
  blue: 'M16 6 26 16 16 26 6 16z',
};

/** Dashed and empty where there is no lamp to see: a contact has none, and some sensors run elsewhere. */
export function LampFace({ lamp }: { readonly lamp: Lamp | null }) {
  if (lamp === null) {
    return (
      <svg class="lamp" viewBox="0 0 32 32" aria-hidden="true">
        <circle class="lamp-bezel is-missing" cx="16" cy="16" r="14.5" />
      </svg>
    );
  }
  const flash = lamp.hz > 0 ? { style: { '--hz': String(lamp.hz) } } : {};
  return (
    <svg class="lamp" viewBox="0 0 32 32" aria-hidden="true">
      <circle class="lamp-bezel" cx="16" cy="16" r="14.5" />
      <path
        class={`lamp-lens lens-${lamp.colour}${lamp.hz > 0 ? ' is-flashing' : ''}`}
        {...flash}
        d={LENSES[lamp.colour]}
      />
    </svg>
  );
}
