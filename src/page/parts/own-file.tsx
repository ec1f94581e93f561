/** A file from the person's own disk, chosen here and handed on as text. */
import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import type { Got } from '../data/ask.ts';
import { R } from '../texts/index.ts';
import { useStore } from './use-store.ts';

export interface ChosenFile {
  readonly isChosen: boolean;
  /** Reads it and does something with its text; where there is none to read, says what to do. */
  readonly hand: (to: (text: string) => Promise<Got<unknown>>) => Promise<Got<unknown>>;
}

interface OwnFileProps {
  /** Of the control that hands it on: what was refused of one file says nothing of the next. */
  readonly name: string;
  readonly title: string;
  readonly says: string;
  readonly children: (file: ChosenFile) => ComponentChildren;
}

export function OwnFile({ name, title, says, children }: OwnFileProps) {
  const id = useId();
  const { refusals } = useStore();
  const file = useSignal<File | null>(null);
  const choose = (chosen: File | null): void => {
    file.value = chosen;
    refusals.forgive(name);
  };
  const hand: ChosenFile['hand'] = async (to) => {
    if (file.value === null) return { ok: false, status: 422, text: R.noFile };
    // A browser reads no file that was changed after it was chosen.
    const text = await file.value.text().catch(() => null);
    return text === null ? { ok: false, status: 422, text: R.fileChanged } : to(text);
  };
  return (
    <section class="own-file" aria-labelledby={`${id}-head`}>
      <h3 id={`${id}-head`}>{title}</h3>
      <p class="quiet" id={`${id}-says`}>
        {says}
      </p>
      <input
        type="file"
        accept=".yaml,.yml"
        aria-labelledby={`${id}-head`}
        aria-describedby={`${id}-says`}
        onClick={(event) => {
          // The same file again, mended, would be no change.
          event.currentTarget.value = '';
          choose(null);
        }}
        onChange={(event) => {
          choose(event.currentTarget.files?.[0] ?? null);
        }}
      />
      {children({ isChosen: file.value !== null, hand })}
    </section>
  );
}
