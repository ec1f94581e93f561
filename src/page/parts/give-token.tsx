/** Where the bench wants a token: the way to give it one. It is kept as one that came with the address. */
import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import { setPageToken } from '../data/token.ts';
import { T } from '../texts/index.ts';
import { Mark } from './mark.tsx';
import { useStore } from './use-store.ts';

const UNAUTHORIZED = 401;

export function GiveToken() {
  const { api, retry } = useStore();
  const id = useId();
  const written = useSignal('');
  const isWrong = useSignal(false);
  const give = async (form: HTMLFormElement): Promise<void> => {
    if (written.value.trim() === '') return;
    isWrong.value = false;
    setPageToken(written.value.trim());
    const got = await api.rig();
    isWrong.value = !got.ok && got.status === UNAUTHORIZED;
    if (isWrong.value) return;
    // The form goes; the keyboard must not go with it.
    form.closest('main')?.focus();
    retry();
  };
  return (
    <form
      class="give-token"
      onSubmit={(event) => {
        event.preventDefault();
        void give(event.currentTarget);
      }}
    >
      <h2>{T.tokenHead}</h2>
      <p class="quiet">{T.tokenSays}</p>
      <div class="field">
        <label for={id}>{T.token}</label>
        <input
          id={id}
          type="password"
          autocomplete="current-password"
          aria-describedby={`${id}-wrong`}
          aria-invalid={isWrong.value}
          value={written.value}
          onInput={(event) => {
            written.value = event.currentTarget.value;
          }}
        />
      </div>
      <button type="submit">{T.tokenGive}</button>
      <p id={`${id}-wrong`} role="alert">
        {isWrong.value && (
          <>
            <Mark kind="warning" /> {T.tokenWrong}
          </>
        )}
      </p>
    </form>
  );
}
