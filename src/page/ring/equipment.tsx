/** What the equipment does about the commands, and what is asked of it. */
import { isCommandedOn } from '../data/outputs.ts';
import { Mark } from '../parts/mark.tsx';
import { OnOff } from '../parts/on-off.tsx';
import { useStore } from '../parts/use-store.ts';
import { outputText, T } from '../texts/index.ts';
import type { World } from '../types.ts';
import { Station } from './station.tsx';

export function Equipment() {
  const { rig, shown } = useStore();
  const snapshot = shown.snapshot.value;
  if (snapshot?.world == null) {
    return (
      <Station id="equipment">
        <p class="elsewhere">{T.worldElsewhere}</p>
      </Station>
    );
  }
  const { world } = snapshot;
  return (
    <Station id="equipment">
      <dl class="facts">
        <dt>{T.airflow}</dt>
        <dd>
          <Airflow world={world} fanAsked={isCommandedOn('fan', snapshot)} />
        </dd>
        {rig.value?.circuits.map((circuit) => (
          <Running key={circuit} circuit={circuit} running={world.compressorRunning[circuit] === true} />
        ))}
        <dt>{T.calls}</dt>
        <dd>{callsText(world)}</dd>
        {world.fire && (
          <>
            <dt>{T.fire}</dt>
            <dd class="hazard">
              <Mark kind="alarm" /> {T.on}
            </dd>
          </>
        )}
        {world.unpowered.length > 0 && (
          <>
            <dt>{T.unpowered}</dt>
            <dd class="note">
              <Mark kind="notice" /> {world.unpowered.join(', ')}
            </dd>
          </>
        )}
      </dl>
    </Station>
  );
}

/** No airflow is ordinary while nobody asks for the fan, and wants an eye as soon as somebody does. */
function Airflow({ world, fanAsked }: { readonly world: World; readonly fanAsked: boolean }) {
  const odd = fanAsked !== world.airflowProven;
  return (
    <span>
      <span class="figure">{`${Math.round(world.airflowM3PerH)} m3/h`}</span>{' '}
      <span class={odd ? 'hazard' : 'quiet'}>
        {odd && <Mark kind="warning" />} {world.airflowProven ? T.airflowProven : T.airflowNotProven}
      </span>
    </span>
  );
}

function Running({ circuit, running }: { readonly circuit: string; readonly running: boolean }) {
  return (
    <>
      <dt>{outputText(`compressor.${circuit}`)}</dt>
      <dd>
        <OnOff on={running} words={[T.running, T.atRest]} />
      </dd>
    </>
  );
}

function callsText(world: World): string {
  const standing = (['cooling', 'heating', 'fan'] as const).filter((call) => world.calls[call]);
  return standing.length === 0 ? T.none : standing.map((call) => T.callNames[call].toLowerCase()).join(', ');
}
