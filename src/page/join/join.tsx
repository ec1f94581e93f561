/** Joining: a code and a name, no account. */
import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import { Mark } from '../parts/mark.tsx';
import { S } from '../texts/seat.ts';
import { joinTrouble, type Seat } from './seat.ts';

const NAME_LENGTH_MAX = 40;
const CODE_LENGTH_MAX = 12;

export function Join({ seat, code: begun }: { readonly seat: Seat; readonly code: string }) {
  const id = useId();
  const code = useSignal(begun);
  const name = useSignal('');
  const busy = useSignal(false);
  const trouble = useSignal(seat.gone.peek() ?? '');
  const join = async (): Promise<void> => {
    if (busy.value) return;
    // Case and gaps of a code are the bench's to read.
    const given = [code.value.trim(), name.value.trim()] as const;
    const missing = joinTrouble(...given);
    trouble.value = missing ?? '';
    if (missing !== null) return;
    busy.value = true;
    const got = await seat.join(...given);
    busy.value = false;
    if (!got.ok) trouble.value = got.text;
  };
  return (
    <main class="joining">
      <form
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void join();
        }}
      >
        <h2>{S.join}</h2>
        <label for={`${id}c`}>{S.code}</label>
        <input
          id={`${id}c`}
          class="code-entry"
          type="text"
          autocomplete="off"
          autocapitalize="characters"
          spellcheck={false}
          maxLength={CODE_LENGTH_MAX}
          value={code.value}
          onInput={(event) => {
            code.value = event.currentTarget.value;
          }}
        />
        <label for={`${id}n`}>{S.yourName}</label>
        <input
          id={`${id}n`}
          type="text"
          autocomplete="nickname"
          maxLength={NAME_LENGTH_MAX}
          value={name.value}
          onInput={(event) => {
            name.value = event.currentTarget.value;
          }}
        />
        <p class="trouble" role="alert">
          {trouble.value !== '' && (
            <>
              <Mark kind="warning" /> {trouble.value}
            </>
          )}
        </p>
        <button type="submit" class="main-act" aria-busy={busy.value}>
          {busy.value ? S.joining : S.joinDo}
        </button>
        <p class="quiet">{S.joinSays}</p>
      </form>
    </main>
  );
}
