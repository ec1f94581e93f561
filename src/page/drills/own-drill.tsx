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
  const choose = (chosen: File | null): void => {
    file.value = chosen;
    refusals.forgive(NAME);
  };
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
        onClick={(event) => {
          // The same file again, mended, would be no change.
          event.currentTarget.value = '';
          choose(null);
        }}
        onChange={(event) => {
          choose(event.currentTarget.files?.[0] ?? null);
        }}
      />
      <FreshStart
        name={NAME}
        word={R.playFile}
        isUnready={file.value === null}
        ask={async ({ api }) => {
          if (file.value === null) return { ok: false, status: 422, text: R.noFile };
          // A browser reads no file that was changed after it was chosen.
          const text = await file.value.text().catch(() => null);
          return text === null
            ? { ok: false, status: 422, text: R.fileChanged }
            : playThenShow(api, { text });
        }}
      />
    </section>
  );
}
