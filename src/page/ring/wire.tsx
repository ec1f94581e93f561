/** The line between the sensors and whoever asks them: the last questions to each, and their answers. */
import { Faults, Standing } from '../controls/faults.tsx';
import { useStore } from '../parts/use-store.ts';
import { partText, W } from '../texts/index.ts';
import type { Belief, RigSensor, Snapshot, WireUnit } from '../types.ts';
import { PollMarks } from './poll-marks.tsx';
import { Station } from './station.tsx';

const FIELD_IO = 'fieldIo';

export function Wire() {
  const { rig, shown } = useStore();
  const snapshot = shown.snapshot.value;
  if (rig.value === null || snapshot === null) return null;
  const units = new Map(snapshot.wire?.units.map((unit) => [unit.name, unit]));
  return (
    <Station id="wire">
      <ul class="rows">
        {rig.value.sensors.map((sensor) => (
          <li key={sensor.id} class="row wire-row" data-wire={sensor.id}>
            <h3 class="row-name">{sensor.id}</h3>
            {sensor.kind === 'modbus' ? (
              <Asked unit={units.get(sensor.id)} snapshot={snapshot} sensor={sensor} />
            ) : (
              <Contact sensor={sensor} />
            )}
            {snapshot.world !== null && <WireHands of={sensor.id} />}
          </li>
        ))}
      </ul>
      <div class="row row-after wire-row" data-wire={FIELD_IO}>
        <h3 class="row-named">{partText(FIELD_IO)}</h3>
        <Asked unit={units.get(FIELD_IO)} snapshot={snapshot} />
        {snapshot.world !== null && <WireHands of={FIELD_IO} />}
      </div>
    </Station>
  );
}

interface AskedProps {
  readonly unit: WireUnit | undefined;
  readonly snapshot: Snapshot;
  readonly sensor?: RigSensor;
}

function Asked({ unit, snapshot, sensor }: AskedProps) {
  const belief = sensor === undefined ? undefined : snapshot.supervisor?.sensors[sensor.id];
  const last = unit?.recent.at(-1);
  const where = unit === undefined ? sensor?.where : W.at(unit.line, unit.unitId);
  return (
    <>
      <PollMarks recent={unit?.recent ?? []} />
      <p class="quiet wire-said">
        <span>{saidOf(last, belief, snapshot)}</span> {where !== undefined && <span>{where}</span>}
      </p>
    </>
  );
}

/** What became of the last question; where the line cannot be seen, what its asker has heard. */
function saidOf(
  last: WireUnit['recent'][number] | undefined,
  belief: Belief | undefined,
  { nowMs, wire }: Snapshot,
): string {
  if (last !== undefined) return W.last(last.outcome, Math.max(0, nowMs - last.atMs));
  if (belief !== undefined) return W.heard(belief.ageMs);
  return wire === null ? W.elsewhere : W.notAsked;
}

/** Two wires to the field I/O, and nobody asks it itself. */
function Contact({ sensor }: { readonly sensor: RigSensor }) {
  return (
    <>
      <PollMarks recent={null} />
      <p class="quiet wire-said">{sensor.where}</p>
    </>
  );
}

function WireHands({ of }: { readonly of: string }) {
  return (
    <div class="hands">
      <div class="hands-row">
        <Faults of={of} at="wire" />
      </div>
      <Standing of={of} at="wire" />
    </div>
  );
}
