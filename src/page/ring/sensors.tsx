/** Each sensor: its lamp, what it truly breathes, what it reports, and what was done to it. */
import { formatGas } from '../../units/format.ts';
import { LampFace } from '../parts/lamp.tsx';
import { Level } from '../parts/level.tsx';
import { Mark } from '../parts/mark.tsx';
import { useStore } from '../parts/use-store.ts';
import { lampWords, placeText, stateText, T } from '../texts/index.ts';
import type { Belief, RigSensor, WorldSensor } from '../types.ts';
import { Station } from './station.tsx';

export function Sensors() {
  const { rig, shown } = useStore();
  const snapshot = shown.snapshot.value;
  return (
    <Station id="sensors">
      <ul class="rows">
        {rig.value?.sensors.map((sensor) => (
          <SensorRow
            key={sensor.id}
            sensor={sensor}
            real={snapshot?.world?.sensors[sensor.id]}
            belief={snapshot?.supervisor?.sensors[sensor.id]}
          />
        ))}
      </ul>
    </Station>
  );
}

interface SensorRowProps {
  readonly sensor: RigSensor;
  readonly real: WorldSensor | undefined;
  readonly belief: Belief | undefined;
}

function SensorRow({ sensor, real, belief }: SensorRowProps) {
  return (
    <li class="row sensor" data-sensor={sensor.id}>
      <LampFace lamp={real?.lamp ?? null} />
      <div class="sensor-who">
        <h3>{sensor.id}</h3>
        <p class="lamp-words">{real === undefined ? T.lampNotKnown : lampWords(real.lamp)}</p>
        <p class="quiet">{`${placeText(sensor.at)} · ${sensor.where}`}</p>
        {real !== undefined && <Done real={real} />}
      </div>
      <dl class="pair">
        <dt>{T.truly}</dt>
        <dd>{real === undefined ? T.notKnown : <Level percentLfl={real.gas} />}</dd>
        <dt>{T.reports}</dt>
        <dd>
          <Reported sensor={sensor} belief={belief} />
        </dd>
      </dl>
    </li>
  );
}

/** A contact reports no number, only gas or none; a sensor that does not answer reports nothing. */
function Reported({ sensor, belief }: { readonly sensor: RigSensor; readonly belief: Belief | undefined }) {
  if (belief === undefined) return <>{T.notKnown}</>;
  if (!belief.answering) return <>{T.nothing}</>;
  if (sensor.kind === 'contact') return <>{stateText(belief.state)}</>;
  return (
    <>
      <span class="figure">{formatGas(belief.gas)}</span> <span class="quiet">{stateText(belief.state)}</span>
    </>
  );
}

/** What a person did to it: test gas, faults, a cut supply. */
function Done({ real }: { readonly real: WorldSensor }) {
  const notes = [
    ...(real.powered ? [] : [T.noPower]),
    ...(real.testGas === null ? [] : [T.testGas(real.testGas)]),
    ...real.faults.map((fault) => T.faultIn(fault.kind)),
  ];
  return (
    <>
      {notes.map((note) => (
        <p key={note} class="note">
          <Mark kind="notice" /> {note}
        </p>
      ))}
    </>
  );
}
