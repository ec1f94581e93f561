/** One of a few, all of them in sight: radio buttons that look like one strip. */
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
            disabled={block !== null}
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
