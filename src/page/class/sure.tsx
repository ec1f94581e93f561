/** A deed that cannot be taken back asks once before it is done. */
import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { Act } from '../controls/act.tsx';
import type { Got } from '../data/ask.ts';
import { C } from '../texts/class.ts';

interface SureProps {
  readonly name: string;
  readonly word: string;
  /** What is heard in place of the word, where the word alone is not enough. */
  readonly heard?: string;
  readonly question: string;
  readonly ask: () => Promise<Got<unknown>>;
}

export function Sure({ name, word, heard, question, ask }: SureProps) {
  const asking = useSignal(false);
  const no = useRef<HTMLButtonElement>(null);
  const first = useRef<HTMLButtonElement>(null);
  const was = useRef(false);
  useEffect(() => {
    // The keyboard keeps its place: on the way back as on the way in.
    if (asking.value) no.current?.focus();
    else if (was.current) first.current?.focus();
    was.current = asking.value;
  }, [asking.value]);
  if (!asking.value) {
    return (
      <button
        ref={first}
        type="button"
        {...(heard === undefined ? {} : { 'aria-label': heard })}
        onClick={() => {
          asking.value = true;
        }}
      >
        {word}
      </button>
    );
  }
  return (
    <fieldset class="sure">
      <legend>{question}</legend>
      <Act
        name={name}
        word={C.yes}
        ask={async () => {
          const got = await ask();
          if (got.ok) asking.value = false;
          return got;
        }}
      />
      <button
        ref={no}
        type="button"
        onClick={() => {
          asking.value = false;
        }}
      >
        {C.no}
      </button>
    </fieldset>
  );
}
