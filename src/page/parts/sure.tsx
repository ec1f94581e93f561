/** A deed that cannot be taken back asks once before it is done. */
import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { Act } from '../controls/act.tsx';
import type { Got } from '../data/ask.ts';
import type { Store } from '../data/store.ts';
import { T } from '../texts/index.ts';

interface SureProps {
  readonly name: string;
  readonly word: string;
  /** Goes on with the word for those who hear the page: what it is done to. */
  readonly heard?: string;
  readonly weight?: 'first' | 'small';
  /** Where it depends: null while nothing would be lost, and the deed is done at once. */
  readonly question: string | ((store: Store) => Promise<string | null>);
  readonly ask: (store: Store) => Promise<Got<unknown>>;
}

const ASKED = { ok: true, value: null } as const;

export function Sure({ name, word, heard, weight, question, ask }: SureProps) {
  const asking = useSignal<string | null>(null);
  const place = useRef<HTMLSpanElement>(null);
  const was = useRef(false);
  useEffect(() => {
    const isAsking = asking.value !== null;
    // The keyboard keeps its place on the way in and back, unless the deed has led it elsewhere.
    if (isAsking || (was.current && document.activeElement === document.body)) {
      place.current?.querySelector<HTMLElement>(isAsking ? '.sure > button' : 'button')?.focus();
    }
    was.current = isAsking;
  }, [asking.value]);
  const begin = async (store: Store): Promise<Got<unknown>> => {
    const words = typeof question === 'string' ? question : await question(store);
    if (words === null) return ask(store);
    asking.value = words;
    return ASKED;
  };
  const doIt = async (store: Store): Promise<Got<unknown>> => {
    const got = await ask(store);
    if (got.ok) asking.value = null;
    return got;
  };
  return (
    <span ref={place} class="sure-place">
      {asking.value === null ? (
        <Act
          name={name}
          word={word}
          {...(heard === undefined ? {} : { heard })}
          {...(weight === undefined ? {} : { weight })}
          ask={begin}
        />
      ) : (
        <fieldset class="sure">
          <legend>{asking.value}</legend>
          <Act name={name} word={T.yes} ask={doIt} />
          <button
            type="button"
            onClick={() => {
              asking.value = null;
            }}
          >
            {T.no}
          </button>
        </fieldset>
      )}
    </span>
  );
}
