/** What the supervisor holds true of each sensor: the number, how old it is, and what is wrong with it. */
import { formatGas } from '../../units/format.ts';
import { Mark, type MarkKind } from '../parts/mark.tsx';
import { useStore } from '../parts/use-store.ts';
import { stateText, T } from '../texts/index.ts';
import type { Belief as BeliefView, RigSensor } from '../types.ts';
import { Station } from './station.tsx';
import { WithoutSupervisor } from './without.tsx';

export function Belief() {
  const { rig, shown } = useStore();
  const supervisor = shown.snapshot.value?.supervisor;
  if (supervisor === null || supervisor === undefined) {
    return (
      <Station id="belief">
        <WithoutSupervisor />
      </Station>
    );
  }
  return (
    <Station id="belief">
      <ul class="rows">
        {rig.value?.sensors.map((sensor) => (
          <BeliefRow key={sensor.id} sensor={sensor} belief={supervisor.sensors[sensor.id]} />
        ))}
      </ul>
      <EquipmentHazards />
    </Station>
  );
}

function BeliefRow({
  sensor,
  belief,
}: {
  readonly sensor: RigSensor;
  readonly belief: BeliefView | undefined;
}) {
  if (belief === undefined) {
    return (
      <li class="row">
        <h3>{sensor.id}</h3> {T.notKnown}
      </li>
    );
  }
  return (
    <li class="row" data-belief={sensor.id}>
      <div class="belief-head">
        <h3>{sensor.id}</h3>
        <Held sensor={sensor} belief={belief} />
      </div>
      {belief.hazards.map(({ hazard, text }) => (
        <p key={hazard} class="hazard">
          <Mark kind={markOf(hazard)} /> {text}
        </p>
      ))}
      {belief.hazards.length === 0 && (
        <p class="quiet">
          <Mark kind={belief.answering ? 'good' : 'wait'} /> {belief.answering ? T.noHazard : T.notAnswering}
        </p>
      )}
    </li>
  );
}

/** The last number of a sensor that does not answer is no longer a reading, and is not shown as one. */
function Held({ sensor, belief }: { readonly sensor: RigSensor; readonly belief: BeliefView }) {
  const { ageMs, answering, gas, state } = belief;
  const value = sensor.kind === 'contact' ? stateText(state) : formatGas(gas);
  const heard = ageMs === null ? T.neverHeard : T.heard(ageMs);
  if (answering) {
    return (
      <>
        <span class="figure">{value}</span> <span class="quiet">{heard}</span>
      </>
    );
  }
  return (
    <>
      <span>{T.notKnown}</span>{' '}
      <span class="quiet">{ageMs === null ? heard : T.lastHeard(value, heard)}</span>
    </>
  );
}

/** Hazards that stand on something else than a sensor; the snapshot has none of them, the events do. */
function EquipmentHazards() {
  const { history, rig } = useStore();
  const sensors = new Set(rig.value?.sensors.map((sensor) => sensor.id));
  const standing = history.value.hazards.filter((span) => span.toMs === null && !sensors.has(span.subject));
  if (standing.length === 0) return null;
  return (
    <div class="row">
      <h3>{T.equipmentHazards}</h3>
      {standing.map((span) => (
        <p key={`${span.hazard} ${span.subject}`} class="hazard">
          <Mark kind={markOf(span.hazard)} /> {span.text}
        </p>
      ))}
    </div>
  );
}

/** Gas and fire are alarms; a self-test that runs is nothing wrong; all else is trouble. */
function markOf(hazard: string): MarkKind {
  if (hazard === 'gas' || hazard === 'contradiction' || hazard === 'fire') return 'alarm';
  return hazard === 'notSelfTested' ? 'wait' : 'warning';
}
