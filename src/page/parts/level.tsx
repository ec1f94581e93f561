/** A gas concentration as number and bar, every bar to one scale with the setpoint marked on it. */
import { formatGas } from '../../units/format.ts';
import { useStore } from './use-store.ts';

/** The bar ends at this many setpoints; what is higher fills it and its number tells. */
export const SCALE_SETPOINTS = 2;

export function Level({ percentLfl }: { readonly percentLfl: number }) {
  const setpoint = useStore().rig.value?.setpoint.percentLfl ?? 0;
  const share = setpoint > 0 ? Math.min(1, percentLfl / (setpoint * SCALE_SETPOINTS)) : 0;
  const isHigh = setpoint > 0 && percentLfl >= setpoint;
  return (
    <span class={isHigh ? 'level is-high' : 'level'}>
      <span class="figure">{formatGas(percentLfl)}</span>
      <svg class="level-bar" viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
        <rect class="level-scale" width="100" height="8" />
        <rect class="level-fill" width={share * 100} height="8" />
        <path class="level-setpoint" d={`M${100 / SCALE_SETPOINTS} 0v8`} />
      </svg>
    </span>
  );
}
