/** What the equipment does about the commands, row by row beside them, and what is asked of it. */
import type { ComponentChildren } from 'preact';
import { formatSize } from '../../units/shown.ts';
import { Act } from '../controls/act.tsx';
import { Calls } from '../controls/calls.tsx';
import { Faults, Standing } from '../controls/faults.tsx';
import { Supply } from '../controls/supply.tsx';
import { isCommandedOn, outputsOf } from '../data/outputs.ts';
import { fireStep } from '../data/steps.ts';
import { Mark } from '../parts/mark.tsx';
import { OnOff } from '../parts/on-off.tsx';
import { useStore } from '../parts/use-store.ts';
import { B, H, outputText, partText, T } from '../texts/index.ts';
import type { Snapshot, World } from '../types.ts';
import { becauseOfAirflow } from './because.ts';
import { Station } from './station.tsx';
import { Why } from './why.tsx';

export function Equipment() {
  const { rig, shown } = useStore();
  const snapshot = shown.snapshot.value;
  if (rig.value === null || snapshot === null) return null;
  const { world } = snapshot;
  if (world === null) {
    return (
      <Station id="equipment">
        <p class="elsewhere">{T.worldElsewhere}</p>
      </Station>
    );
  }
  return (
    <Station id="equipment">
      <ul class="rows">
        {/* Alarm and trouble move nothing. */}
        {outputsOf(rig.value)
          .filter((output) => !['alarm', 'trouble'].includes(output))
          .map((output) => (
            <Thing key={output} output={output} snapshot={snapshot} world={world} />
          ))}
      </ul>
      <div class="row row-after asks">
        <Calls />
        <div class="hands-row">
          <Act
            name="fire"
            word={H.fire}
            pressed={world.fire}
            weight="small"
            extra={
              <>
                {world.fire && <Mark kind="alarm" />}
                <OnOff on={world.fire} />
              </>
            }
            ask={({ api }) => api.step(fireStep(!world.fire))}
          />
          <Supply of="rig" on={!world.unpowered.includes('rig')} word={H.rigSupply} />
        </div>
      </div>
    </Station>
  );
}

interface ThingProps {
  readonly output: string;
  readonly snapshot: Snapshot;
  readonly world: World;
}

/** What an output moves; some only show. */
function Thing({ output, snapshot, world }: ThingProps) {
  if (output === 'fan') {
    return (
      <Row output="fan" faultsOf={['fan', 'airflow']}>
        <Airflow snapshot={snapshot} world={world} />
      </Row>
    );
  }
  const circuit = /^compressor\.(.+)$/u.exec(output)?.[1];
  if (circuit === undefined) {
    return (
      <Row output={output} faultsOf={[]}>
        <span class="thing-name">{outputText(output)}</span>
        <OnOff on={world.terminals[output] === true} words={T.thingWords[output] ?? [T.on, T.off]} />
      </Row>
    );
  }
  const running = world.compressorRunning[circuit] === true;
  const odd = running !== isCommandedOn(output, snapshot);
  return (
    <Row output={output} faultsOf={[output]}>
      <span class="thing-name">{outputText(output)}</span>
      <span class={odd ? 'hazard' : ''}>
        {odd && <Mark kind="warning" />}
        <OnOff on={running} words={[T.running, T.atRest]} />
      </span>
    </Row>
  );
}

interface RowProps {
  readonly output: string;
  readonly faultsOf: readonly string[];
  readonly children: ComponentChildren;
}

function Row({ output, faultsOf, children }: RowProps) {
  return (
    <li class="row thing-row" data-thing={output}>
      <div class="thing">{children}</div>
      {faultsOf.map((part) => (
        <div key={part} class="thing-faults">
          {faultsOf.length > 1 && <span class="quiet">{partText(part)}</span>}
          <Faults of={part} />
        </div>
      ))}
      {faultsOf.map((part) => (
        <Standing key={part} of={part} />
      ))}
    </li>
  );
}

/** No airflow is ordinary while nobody asks for the fan, and wants an eye as soon as somebody does. */
function Airflow({ snapshot, world }: { readonly snapshot: Snapshot; readonly world: World }) {
  const { rig, units } = useStore();
  const { value } = rig;
  if (value === null) return null;
  const odd = isCommandedOn('fan', snapshot) !== world.airflowProven;
  const proven = world.airflowProven ? B.proven : B.notProven;
  return (
    <Why
      id="airflow"
      what={B.airflow}
      how={proven}
      because={() => becauseOfAirflow(value, snapshot, units.value)}
    >
      <span class="thing-name">{B.airflow}</span>
      <span class="figure">{formatSize(world.airflowM3PerH, 'm3PerH', units.value)}</span>
      <span class={odd ? 'hazard' : 'quiet'}>
        {odd && <Mark kind="warning" />} {proven}
      </span>
    </Why>
  );
}
