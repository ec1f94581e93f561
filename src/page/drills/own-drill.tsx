/** A drill file from the person's own disk, played on this bench. */
import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import { useStore } from '../parts/use-store.ts';
import { R } from '../texts/index.ts';
import { FreshStart } from './fresh-start.tsx';
import { playThenShow } from './on-now.tsx';

const NAME = 'play file';

export function OwnDrill() {
  const id = useId();
  const { refusals } = useStore();
  const file = useSignal<File | null>(null);
  return (
    <section class="own-drill" aria-labelledby={`${id}-head`}>
      <h3 id={`${id}-head`}>{R.own}</h3>
      <p class="quiet" id={`${id}-says`}>
        {R.ownSays}
      </p>
      <input
        type="file"
        accept=".yaml,.yml"
        aria-labelledby={`${id}-head`}
        aria-describedby={`${id}-says`}
        onChange={(event) => {
          file.value = event.currentTarget.files?.[0] ?? null;
          refusals.forgive(NAME);
        }}
      />
      <FreshStart
        name={NAME}
        word={R.playFile}
        isUnready={file.value === null}
        ask={async ({ api }) => {
          const text = await file.value?.text();
          return text === undefined
            ? { ok: false, status: 422, text: R.noFile }
            : playThenShow(api, { text });
        }}
      />
    </section>
  );
}
