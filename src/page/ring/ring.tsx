/** The ring as the layout itself: out along the top, back along the bottom, time in the middle. */
import { Chart } from '../chart/chart.tsx';
import { outputsOf } from '../data/outputs.ts';
import { useStore } from '../parts/use-store.ts';
import { T } from '../texts/index.ts';
import { Belief } from './belief.tsx';
import { Commands } from './commands.tsx';
import { Equipment } from './equipment.tsx';
import { Gas } from './gas.tsx';
import { Mitigation } from './mitigation.tsx';
import { Sensors } from './sensors.tsx';
import { Wire } from './wire.tsx';

export function Ring() {
  const rig = useStore().rig.value;
  if (rig === null) return null;
  return (
    <section class="ring" aria-label={T.ring}>
      <div class="ring-out" style={{ '--rows': String(rig.sensors.length) }}>
        <Gas />
        <Sensors />
        <Wire />
        <Belief />
      </div>
      <div class="ring-back" style={{ '--rows': String(outputsOf(rig).length) }}>
        <Mitigation />
        <Commands />
        <Equipment />
      </div>
      <p class="ring-round" aria-hidden="true">
        {T.backToGas}
      </p>
      <div class="ring-time">
        <span class="rail" aria-hidden="true">
          {T.railUp}
        </span>
        <Chart />
        <span class="rail rail-down" aria-hidden="true">
          {T.railDown}
        </span>
      </div>
    </section>
  );
}
