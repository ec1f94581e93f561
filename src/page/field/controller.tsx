/** The controller's own display: its sentences, and the time its hold has left. */
import type { FieldView } from '../class/types.ts';
import { F } from '../texts/field.ts';
import { countdown, PHASES } from '../texts/index.ts';

export function Controller({ controller }: { readonly controller: FieldView['controller'] }) {
  const { lit, state, says, holdLeftMs } = controller;
  return (
    <section class={lit ? 'display is-lit' : 'display'} aria-label={F.controller}>
      <h3>{F.controller}</h3>
      <div class="display-glass">
        <div aria-live="polite">
          {!lit && <p>{F.dark}</p>}
          {lit && state !== null && <p class="display-state">{stateWord(state)}</p>}
          {lit && says.length === 0 && state === null && <p>{F.quietDisplay}</p>}
          {lit && says.map((line) => <p key={line}>{line}</p>)}
        </div>
        {lit && holdLeftMs !== null && (
          <p class="display-hold">
            {F.holdLeft} <span class="figure">{countdown(holdLeftMs)}</span>
          </p>
        )}
      </div>
    </section>
  );
}

/** A state of our own controller has a word of its own; another's stands as it is. */
function stateWord(state: string): string {
  const words: Readonly<Record<string, { readonly word: string }>> = PHASES;
  return words[state]?.word ?? state;
}
