/** What is in the air, what feeds it, and the hand on the valve. */
import { formatSize } from '../../units/shown.ts';
import { ReleaseGas } from '../controls/release.tsx';
import { Level, SCALE_SETPOINTS } from '../parts/level.tsx';
import { useStore } from '../parts/use-store.ts';
import { H, T } from '../texts/index.ts';
import { Station } from './station.tsx';

export function Gas() {
  const { rig, shown, units } = useStore();
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
        <dt>{H.releasing}</dt>
        <dd class="figure">
          {world.releaseGPerS > 0 ? formatSize(world.releaseGPerS, 'gPerS', units.value) : T.none}
        </dd>
        <dt>{T.chargeLeft}</dt>
        <dd class="figure">{formatSize(world.chargeLeftKg, 'kg', units.value)}</dd>
      </dl>
      <p class="quiet">{T.bars(rig.value?.setpoint.percentLfl ?? 0, SCALE_SETPOINTS)}</p>
      <ReleaseGas />
    </Station>
  );
}
