/** Each sensor: its lamp, what it truly breathes, what was done to it, and the hands on it. */
import { Faults, Standing } from '../controls/faults.tsx';
import { Supply } from '../controls/supply.tsx';
import { TestGas } from '../controls/test-gas.tsx';
import { LampFace } from '../parts/lamp.tsx';
import { Level } from '../parts/level.tsx';
import { Mark } from '../parts/mark.tsx';
import { useStore } from '../parts/use-store.ts';
import { H, lampWords, placeText, T } from '../texts/index.ts';
import type { RigSensor, WorldSensor } from '../types.ts';
import { Station } from './station.tsx';

export function Sensors() {
  const { rig, shown } = useStore();
  const world = shown.snapshot.value?.world;
  return (
    <Station id="sensors">
      <ul class="rows">
        {rig.value?.sensors.map((sensor) => (
          <SensorRow key={sensor.id} sensor={sensor} real={world?.sensors[sensor.id]} />
        ))}
      </ul>
    </Station>
  );
}

interface SensorRowProps {
  readonly sensor: RigSensor;
  readonly real: WorldSensor | undefined;
}

function SensorRow({ sensor, real }: SensorRowProps) {
  return (
    <li class="row sensor" data-sensor={sensor.id}>
      <LampFace lamp={real?.lamp ?? null} />
      <div class="sensor-who">
        <h3>
          {sensor.id} <span class="quiet">{placeText(sensor.at)}</span>
        </h3>
        <p class="lamp-words">{real === undefined ? T.lampNotKnown : lampWords(real.lamp)}</p>
      </div>
      <div class="sensor-gas">{real === undefined ? T.notKnown : <Level percentLfl={real.gas} />}</div>
      {real !== undefined && (
        <div class="hands">
          {real.testGas !== null && (
            <p class="note">
              <Mark kind="notice" /> {H.testGasHeld(real.testGas)}
            </p>
          )}
          <Standing of={sensor.id} />
          <div class="hands-row">
            <Supply of={sensor.id} on={real.powered} />
            <TestGas at={sensor.id} held={real.testGas} />
            <Faults of={sensor.id} />
          </div>
        </div>
      )}
    </li>
  );
}
