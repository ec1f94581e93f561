/**
 * A button that asks the bench for something. While it cannot be had the button says why in a word and
 * stays where it is, so that the keyboard does not lose its place; the bench's own sentence stands below.
 */
import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import type { Got } from '../data/api.ts';
import type { Store } from '../data/store.ts';
import { useStore } from '../parts/use-store.ts';
import { T } from '../texts.ts';

interface ActProps {
  /** Names the control among all: a refusal is kept under it. */
  readonly name: string;
  readonly word: string;
  readonly ask: (store: Store) => Promise<Got<unknown>>;
  /** For a button that stands for a switch: how the switch stands. */
  readonly pressed?: boolean;
  readonly extra?: ComponentChildren;
}

export function Act({ name, word, ask, pressed, extra }: ActProps) {
  const store = useStore();
  const why = useId();
  const busy = useSignal(false);
  const blocked = blockedWord(store, name);
  const refusal = store.refusals.all.value.get(name);
  const press = async (): Promise<void> => {
    if (blocked !== null || busy.value) return;
    busy.value = true;
    store.refusals.note(name, await ask(store));
    busy.value = false;
    store.refresh();
  };
  return (
    <span class="act">
      <button
        type="button"
        aria-disabled={blocked !== null}
        aria-busy={busy.value}
        {...(pressed === undefined ? {} : { 'aria-pressed': pressed })}
        {...(refusal === undefined ? {} : { 'aria-describedby': why })}
        onClick={() => {
          void press();
        }}
      >
        {word}
        {extra}
        {blocked !== null && <span class="blocked"> ({blocked})</span>}
      </button>
      <span class="refusal" id={why} aria-live="polite">
        {refusal?.text}
      </span>
    </span>
  );
}

/** Why a control cannot be used now, in a word; null where it can. */
export function blockedWord(store: Store, name: string): string | null {
  if (store.link.value !== 'live') return T.noConnection;
  if (store.refusals.all.value.has(name)) return T.refused;
  return null;
}
