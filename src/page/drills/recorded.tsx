/** What was done by hand since the last fresh start: how much, by what name, and as a file to keep. */
import { type Signal, useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import { Act } from '../controls/act.tsx';
import { Entry } from '../controls/field.tsx';
import type { Api, Got } from '../data/api.ts';
import { fileWords, saveText } from '../data/save-file.ts';
import { noteSaved } from '../data/unsaved.ts';
import { useAnswer } from '../parts/use-answer.ts';
import { useStore } from '../parts/use-store.ts';
import { R } from '../texts/index.ts';
import type { Recording } from '../types.ts';

const SAVE = 'save recording';
const LOOK = 'look at recording';

export function Recorded() {
  const id = useId();
  const { history } = useStore();
  const name = useSignal<string>(R.recordingNameFirst);
  const text = useSignal<string | null>(null);
  // What a person does is put on record as a notice; curves alone are no reason to count anew.
  const last = history.value.list.findLast(({ data }) => data.severity === 'notice')?.sequence;
  const got = useAnswer((api) => api.recording(name.value), [last]).value;
  return (
    <section class="recorded" aria-labelledby={id}>
      <h3 id={id}>{R.recording}</h3>
      <p class="quiet">{R.recordingSays}</p>
      {got !== null && !got.ok && <p class="elsewhere">{got.text}</p>}
      {got?.ok === true && (
        <>
          <p>{R.recorded(got.value.steps)}</p>
          <Entry label={R.recordingName} value={name} of={[SAVE, LOOK]} />
          <div class="buttons">
            <Act name={SAVE} word={R.save} ask={({ api }) => save(api, name.value)} />
            <Act name={LOOK} word={text.value === null ? R.look : R.lookAgain} ask={look(name, text)} />
          </div>
          {text.value !== null && (
            // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard
            <section class="recorded-text" tabIndex={0} aria-label={R.recordingText}>
              <pre>{text.value}</pre>
            </section>
          )}
        </>
      )}
    </section>
  );
}

async function save(api: Api, name: string): Promise<Got<Recording>> {
  const got = await api.recording(name);
  if (!got.ok) return got;
  saveText(got.value.text, `${fileName(name)}.drill.yaml`, 'application/yaml');
  noteSaved(got.value);
  return got;
}

function look(name: Signal<string>, text: Signal<string | null>) {
  return async ({ api }: { readonly api: Api }): Promise<Got<Recording>> => {
    const got = await api.recording(name.value);
    if (got.ok) text.value = got.value.text;
    return got;
  };
}

function fileName(name: string): string {
  const words = fileWords(name);
  return words === '' ? 'recorded' : words;
}
