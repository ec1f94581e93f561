/** A labelled entry or choice. A change of it lets a refused control be tried again. */
import type { Signal } from '@preact/signals';
import { useId } from 'preact/hooks';
import { useStore } from '../parts/use-store.ts';

interface FieldProps {
  readonly label: string;
  readonly value: Signal<string>;
  /** Controls whose request this entry goes into. */
  readonly of: readonly string[];
}

interface EntryProps extends FieldProps {
  /** What it takes, below it. */
  readonly takes?: string;
}

export function Entry({ label, value, of, takes }: EntryProps) {
  const id = useId();
  const { refusals } = useStore();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        autocomplete="off"
        spellcheck={false}
        value={value.value}
        {...(takes === undefined ? {} : { 'aria-describedby': `${id}-takes` })}
        onInput={(event) => {
          value.value = event.currentTarget.value;
          of.forEach(refusals.forgive);
        }}
      />
      {takes !== undefined && (
        <p class="takes" id={`${id}-takes`}>
          {takes}
        </p>
      )}
    </div>
  );
}

interface PickProps extends FieldProps {
  readonly options: readonly { readonly value: string; readonly word: string }[];
}

export function Pick({ label, value, of, options }: PickProps) {
  const id = useId();
  const { refusals } = useStore();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select
        id={id}
        value={value.value}
        onChange={(event) => {
          value.value = event.currentTarget.value;
          of.forEach(refusals.forgive);
        }}
      >
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.word}
          </option>
        ))}
      </select>
    </div>
  );
}
