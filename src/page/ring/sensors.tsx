/** Each sensor: its lamp, what it truly breathes, what was done to it, and the hands on it. */
import { Faults, Standing } from '../controls/faults.tsx';
import { Supply } from '../controls/supply.tsx';
import { TestGas } from '../controls/test-gas.tsx';
import { LampFace } from '../parts/lamp.tsx';
import { Level } from '../parts/level.tsx';
import { Mark } from '../parts/mark.tsx';
import { useStore } from '../parts/use-store.ts';
import { H, lampWords, placeText, T } from '../texts/index.ts';
import type { RigSensor, World, WorldSensor } from '../types.ts';
import { Station } from './station.tsx';

const SWAPPED = 'swapped';

export function Sensors() {
  const { rig, shown } = useStore();
  const world = shown.snapshot.value?.world;
  return (
    <Station id="sensors">
      <ul class="rows">
        {rig.value?.sensors.map((sensor) => (
          <SensorRow
            key={sensor.id}
            sensor={sensor}
            real={world?.sensors[sensor.id]}
            isSwitchedOn={world?.unpowered.includes(sensor.id) === false}
            address={addressHeld(world, sensor.id)}
          />
        ))}
      </ul>
    </Station>
  );
}

interface SensorRowProps {
  readonly sensor: RigSensor;
  readonly real: WorldSensor | undefined;
  /** Its own switch: what arrives depends on the rig's supply and on faults too. */
  readonly isSwitchedOn: boolean;
  /** Whose address it holds since the two were exchanged. */
  readonly address: string | undefined;
}

/** The fault stands in one of the two alone; both have the other's address. */
function addressHeld(world: World | null | undefined, id: string): string | undefined {
  return Object.entries(world?.sensors ?? {}).find(([, { faults }]) =>
    faults.some(({ kind, parameters }) => kind === SWAPPED && parameters['with'] === id),
  )?.[0];
}

function SensorRow({ sensor, real, isSwitchedOn, address }: SensorRowProps) {
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
          {address !== undefined && (
            <p class="note">
              <Mark kind="notice" /> {H.holdsAddressOf(address)}
            </p>
          )}
          <div class="hands-row">
            <Supply of={sensor.id} on={isSwitchedOn} />
            <TestGas at={sensor.id} held={real.testGas} />
            <Faults of={sensor.id} />
          </div>
          <Standing of={sensor.id} />
        </div>
      )}
    </li>
  );
}
