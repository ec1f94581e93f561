/** The supply switch of a sensor; it stays where it is while nobody may use it, and says why. */
import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import type { Got } from '../data/ask.ts';
import { F } from '../texts/field.ts';

export interface Power {
  readonly mayFlip: boolean;
  readonly why: string;
  readonly flip: (sensor: string, on: boolean) => Promise<Got<unknown>>;
}

interface SupplyProps {
  readonly sensor: string;
  readonly on: boolean;
  readonly power: Power;
}

export function Supply({ sensor, on, power }: SupplyProps) {
  const why = useId();
  const busy = useSignal(false);
  const refusal = useSignal('');
  const flip = async (): Promise<void> => {
    if (!power.mayFlip || busy.value) return;
    busy.value = true;
    const got = await power.flip(sensor, !on);
    refusal.value = got.ok ? '' : got.text;
    busy.value = false;
  };
  return (
    <div class="supply-switch">
      <button
        type="button"
        aria-disabled={!power.mayFlip}
        aria-busy={busy.value}
        aria-describedby={why}
        onClick={() => {
          void flip();
        }}
      >
        {on ? F.switchOff : F.switchOn}
      </button>
      <p id={why} class="quiet" aria-live="polite">
        {power.mayFlip ? refusal.value : power.why}
      </p>
    </div>
  );
}
