/** One of a few, all of them in sight: radio buttons that look like one strip. */
import { useId } from 'preact/hooks';

interface ChoiceProps {
  readonly name: string;
  readonly options: readonly { readonly value: number; readonly word: string }[];
  readonly chosen: number;
  readonly onChoose: (value: number) => void;
  /** Why nothing can be chosen now, in a word. */
  readonly blocked?: string | null;
}

export function Choice({ name, options, chosen, onChoose, blocked = null }: ChoiceProps) {
  const group = useId();
  return (
    <fieldset class="choice">
      <legend>
        {name}
        {blocked !== null && <span class="blocked"> ({blocked})</span>}
      </legend>
      {options.map(({ value, word }) => (
        <label key={value}>
          <input
            type="radio"
            name={group}
            value={value}
            checked={value === chosen}
            disabled={blocked !== null}
            onChange={() => {
              onChoose(value);
            }}
          />
          <span class="choice-word">{word}</span>
        </label>
      ))}
    </fieldset>
  );
}
