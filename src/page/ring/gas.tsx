/** What is in the air, and what feeds it. */
import { Level, SCALE_SETPOINTS } from '../parts/level.tsx';
import { useStore } from '../parts/use-store.ts';
import { T } from '../texts/index.ts';
import { Station } from './station.tsx';

export function Gas() {
  const { rig, shown } = useStore();
  const world = shown.snapshot.value?.world;
  if (world === null || world === undefined) {
    return (
      <Station id="gas">
        <p class="elsewhere">{T.worldElsewhere}</p>
      </Station>
    );
  }
  return (
    <Station id="gas">
      <dl class="facts">
        <dt>{T.cabinet}</dt>
        <dd>
          <Level percentLfl={world.cabinet} />
        </dd>
        <dt>{T.room}</dt>
        <dd>
          <Level percentLfl={world.room} />
        </dd>
        <dt>{T.release}</dt>
        <dd class="figure">{world.releaseGPerS > 0 ? `${tenths(world.releaseGPerS)} g/s` : T.none}</dd>
        <dt>{T.chargeLeft}</dt>
        <dd class="figure">{`${world.chargeLeftKg.toFixed(2)} kg`}</dd>
      </dl>
      <p class="quiet">{T.bars(rig.value?.setpoint.percentLfl ?? 0, SCALE_SETPOINTS)}</p>
    </Station>
  );
}

function tenths(value: number): number {
  return Math.round(value * 10) / 10;
}
