/**
 * A button that asks the bench for something. While it cannot be had the button says why in a word and
 * stays where it is, so that the keyboard does not lose its place; the bench's own sentence stands below.
 */
import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import type { Got } from '../data/api.ts';
import type { Store } from '../data/store.ts';
import { Blocked, blockOf } from '../parts/blocked.tsx';
import { useStore } from '../parts/use-store.ts';
import { RefusalNote } from './refusal-note.tsx';

interface ActProps {
  /** Names the control among all: a refusal is kept under it. */
  readonly name: string;
  readonly word: string;
  readonly ask: (store: Store) => Promise<Got<unknown>>;
  /** For a button that stands for a switch: how the switch stands. */
  readonly pressed?: boolean;
  readonly extra?: ComponentChildren;
  /** Goes on with the word for those who hear the page: what it is done to. */
  readonly heard?: string;
  /** `first`: the button that a newcomer looks for. `small`: one of many in a row. */
  readonly weight?: 'first' | 'small';
}

export function Act({ name, word, ask, pressed, extra, heard, weight }: ActProps) {
  const store = useStore();
  const why = useId();
  const busy = useSignal(false);
  const block = blockOf(store, name);
  const isRefused = store.refusals.all.value.has(name);
  const press = async (): Promise<void> => {
    if (block !== null || busy.value) return;
    busy.value = true;
    try {
      store.refusals.note(name, await ask(store));
    } finally {
      busy.value = false;
    }
    store.refresh();
  };
  return (
    <span class={`act${weight === undefined ? '' : ` act-${weight}`}`}>
      <button
        type="button"
        aria-disabled={block !== null}
        aria-busy={busy.value}
        {...(pressed === undefined ? {} : { 'aria-pressed': pressed })}
        {...(isRefused ? { 'aria-describedby': why } : {})}
        onClick={() => {
          void press();
        }}
      >
        {word}
        {heard !== undefined && <span class="only-heard"> {heard}</span>}
        {extra}
        <Blocked block={block} />
      </button>
      <RefusalNote control={name} id={why} />
    </span>
  );
}
