/**
 * One of a few, all of them in sight: radio buttons that look like one strip. While nothing can be chosen
 * they stay where they are, so that the keyboard does not lose its place.
 */
import { useId } from 'preact/hooks';
import { type Block, Blocked } from './blocked.tsx';

interface ChoiceProps<Value extends string | number> {
  readonly name: string;
  readonly options: readonly { readonly value: Value; readonly word: string }[];
  readonly chosen: Value;
  readonly onChoose: (value: Value) => void;
  /** Why nothing can be chosen now. */
  readonly block?: Block;
}

export function Choice<Value extends string | number>({
  name,
  options,
  chosen,
  onChoose,
  block = null,
}: ChoiceProps<Value>) {
  const group = useId();
  return (
    <fieldset class="choice">
      <legend>
        {name}
        <Blocked block={block} />
      </legend>
      {options.map(({ value, word }) => (
        <label key={value}>
          <input
            type="radio"
            name={group}
            value={value}
            checked={value === chosen}
            aria-disabled={block !== null}
            onClick={(event) => {
              // An arrow key clicks as well; what is chosen stays chosen.
              if (block !== null) event.preventDefault();
            }}
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
