/** What the supervisor holds true of each sensor, what is wrong with it, and why it thinks so. */
import { formatGas } from '../../units/format.ts';
import { Mark, type MarkKind } from '../parts/mark.tsx';
import { useStore } from '../parts/use-store.ts';
import { stateText, T } from '../texts/index.ts';
import type { Belief as BeliefView, RigSensor } from '../types.ts';
import { becauseOfBelief } from './because.ts';
import { Station } from './station.tsx';
import { Why } from './why.tsx';
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

interface BeliefRowProps {
  readonly sensor: RigSensor;
  readonly belief: BeliefView | undefined;
}

function BeliefRow({ sensor, belief }: BeliefRowProps) {
  const { rig } = useStore();
  if (belief === undefined || rig.value === null) {
    return (
      <li class="row">
        <h3 class="row-name">{sensor.id}</h3> {T.notKnown}
      </li>
    );
  }
  const { setpoint } = rig.value;
  return (
    <li class="row" data-belief={sensor.id}>
      <h3 class="row-name">{sensor.id}</h3>
      <Why
        id={`belief ${sensor.id}`}
        what={sensor.id}
        how={belief.answering ? stateText(belief.state) : T.notKnown}
        because={() => becauseOfBelief(sensor, belief, setpoint)}
        beside={<Findings belief={belief} />}
      >
        <Held sensor={sensor} belief={belief} />
      </Why>
    </li>
  );
}

/** The last number of a sensor that does not answer is no longer a reading, and is not shown as one. */
function Held({ sensor, belief }: { readonly sensor: RigSensor; readonly belief: BeliefView }) {
  const { answering, gas, state } = belief;
  if (!answering) return <span class="held-value">{T.notKnown}</span>;
  return (
    <>
      {sensor.kind === 'modbus' && <span class="held-value figure">{formatGas(gas)}</span>}{' '}
      <span class={sensor.kind === 'modbus' ? 'quiet' : 'held-value'}>{stateText(state)}</span>
    </>
  );
}

function Findings({ belief }: { readonly belief: BeliefView }) {
  if (belief.hazards.length === 0) {
    return (
      <p class="quiet">
        <Mark kind={belief.answering ? 'good' : 'wait'} /> {belief.answering ? T.noHazard : T.notAnswering}
      </p>
    );
  }
  return (
    <>
      {belief.hazards.map(({ hazard, text }) => (
        <p key={hazard} class="hazard">
          <Mark kind={markOf(hazard)} /> <span>{text}</span>
        </p>
      ))}
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
    <div class="row row-after">
      <h3>{T.equipmentHazards}</h3>
      {standing.map((span) => (
        <p key={`${span.hazard} ${span.subject}`} class="hazard">
          <Mark kind={markOf(span.hazard)} /> <span>{span.text}</span>
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
