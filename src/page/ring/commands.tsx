/** What the supervisor switches. Each output can be asked why, and answers with its chain of facts. */
import { Faults, Standing } from '../controls/faults.tsx';
import { outputsOf } from '../data/outputs.ts';
import { Mark, type MarkKind } from '../parts/mark.tsx';
import { OnOff } from '../parts/on-off.tsx';
import { useStore } from '../parts/use-store.ts';
import { outputText, T } from '../texts/index.ts';
import type { Snapshot } from '../types.ts';
import { Station } from './station.tsx';
import { Why } from './why.tsx';
import { useControllerUnpowered } from './without.tsx';

export function Commands() {
  const { rig, shown } = useStore();
  const snapshot = shown.snapshot.value;
  const unpowered = useControllerUnpowered();
  if (rig.value === null || snapshot === null) return null;
  return (
    <Station id="commands">
      {snapshot.supervisor === null && (
        <p class="elsewhere">{unpowered ? T.commandsUnpowered : T.commandsElsewhere}</p>
      )}
      <ul class="rows">
        {outputsOf(rig.value).map((output) => (
          <Output key={output} output={output} snapshot={snapshot} />
        ))}
      </ul>
    </Station>
  );
}

function Output({ output, snapshot }: { readonly output: string; readonly snapshot: Snapshot }) {
  const { supervisor, world } = snapshot;
  const name = outputText(output);
  const terminal = world?.terminals[output];
  const command = supervisor?.commands[output];
  const on = command === undefined ? terminal === true : command.on;
  const mark = on ? markOf(output) : null;
  const face = (
    <>
      <span class="output-name">
        {mark !== null && <Mark kind={mark} />}
        {name}
      </span>
      <OnOff on={on} />
    </>
  );
  const beside = command !== undefined && terminal !== undefined && terminal !== on && (
    <p class="note">
      <Mark kind="warning" /> {T.terminalDiffers(terminal)}
    </p>
  );
  const look = `output${mark === null ? '' : ` is-${mark}`}`;
  return (
    <li class="row output-row" data-output={output}>
      {command === undefined ? (
        // With the controller elsewhere nobody here knows why, only what arrived.
        <span class={look}>{face}</span>
      ) : (
        <Why
          id={`output ${output}`}
          what={name}
          how={on ? T.on : T.off}
          because={() => command.because}
          buttonClass={look}
          beside={beside}
        >
          {face}
        </Why>
      )}
      {world !== null && (
        <>
          <Faults of={`output.${output}`} />
          <Standing of={`output.${output}`} />
        </>
      )}
    </li>
  );
}

function markOf(output: string): MarkKind | null {
  if (output === 'alarm') return 'alarm';
  return output === 'trouble' ? 'warning' : null;
}
