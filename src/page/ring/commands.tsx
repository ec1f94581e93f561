/** What the supervisor switches. Each output can be asked why, and answers with its chain of facts. */
import { useSignal } from '@preact/signals';
import { outputsOf } from '../data/outputs.ts';
import { Mark, type MarkKind } from '../parts/mark.tsx';
import { OnOff } from '../parts/on-off.tsx';
import { useStore } from '../parts/use-store.ts';
import { outputText, T } from '../texts/index.ts';
import { Station } from './station.tsx';
import { useControllerUnpowered } from './without.tsx';

const CHAIN_ID = 'because';

export function Commands() {
  const { rig, shown } = useStore();
  const asked = useSignal<string | null>(null);
  const snapshot = shown.snapshot.value;
  if (rig.value === null || snapshot === null) return null;
  const { supervisor, world } = snapshot;
  const outputs = outputsOf(rig.value);
  if (supervisor === null) return <Terminals outputs={outputs} terminals={world?.terminals ?? {}} />;
  const command = asked.value === null ? undefined : supervisor.commands[asked.value];
  return (
    <Station id="commands">
      <ul class="outputs">
        {outputs.map((output) => (
          <li key={output}>
            <OutputButton
              output={output}
              on={supervisor.commands[output]?.on === true}
              terminal={world?.terminals[output]}
              isAsked={asked.value === output}
              onAsk={() => {
                asked.value = asked.value === output ? null : output;
              }}
            />
          </li>
        ))}
      </ul>
      <div id={CHAIN_ID} aria-live="polite">
        {asked.value !== null && command !== undefined && (
          <Chain output={outputText(asked.value)} on={command.on} because={command.because} />
        )}
      </div>
    </Station>
  );
}

interface OutputButtonProps {
  readonly output: string;
  readonly on: boolean;
  readonly terminal: boolean | undefined;
  readonly isAsked: boolean;
  readonly onAsk: () => void;
}

function OutputButton({ output, on, terminal, isAsked, onAsk }: OutputButtonProps) {
  const mark = on ? markOf(output) : null;
  return (
    <button
      type="button"
      class={`output${mark === null ? '' : ` is-${mark}`}`}
      aria-expanded={isAsked}
      aria-controls={CHAIN_ID}
      title={T.askWhy(outputText(output))}
      onClick={onAsk}
    >
      <span class="output-name">
        {mark !== null && <Mark kind={mark} />}
        {outputText(output)}
      </span>
      <OnOff on={on} />
      {terminal !== undefined && terminal !== on && (
        <span class="note">
          <Mark kind="warning" /> {T.terminalDiffers(terminal)}
        </span>
      )}
    </button>
  );
}

function markOf(output: string): MarkKind | null {
  if (output === 'alarm') return 'alarm';
  return output === 'trouble' ? 'warning' : null;
}

interface ChainProps {
  readonly output: string;
  readonly on: boolean;
  readonly because: readonly string[];
}

function Chain({ output, on, because }: ChainProps) {
  return (
    <div class="chain">
      <p>{T.becauseOf(output, on)}</p>
      <ol>
        {because.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ol>
    </div>
  );
}

interface TerminalsProps {
  readonly outputs: readonly string[];
  readonly terminals: Readonly<Record<string, boolean>>;
}

/** With the controller elsewhere nobody here knows why, only what arrived. */
function Terminals({ outputs, terminals }: TerminalsProps) {
  return (
    <Station id="commands">
      <p class="elsewhere">{useControllerUnpowered() ? T.commandsUnpowered : T.commandsElsewhere}</p>
      <ul class="outputs">
        {outputs.map((output) => (
          <li key={output} class="output">
            <span class="output-name">{outputText(output)}</span>
            <OnOff on={terminals[output] === true} />
          </li>
        ))}
      </ul>
    </Station>
  );
}
