/** One of the four questions: boxes for a list, buttons for a choice; a whole row is the target. */
import { useId } from 'preact/hooks';

export interface Option<Id extends string> {
  readonly id: Id;
  readonly words: string;
}

interface QuestionProps<Id extends string> {
  readonly number: number;
  readonly title: string;
  readonly says?: string;
  readonly options: readonly Option<Id>[];
  readonly chosen: readonly Id[];
  /** One answer only. */
  readonly single?: boolean;
  /** The sentence about what is missing here, where it is. */
  readonly missing: string | null;
  readonly onChoose: (id: Id, chosen: boolean) => void;
}

export function Question<Id extends string>(props: QuestionProps<Id>) {
  const id = useId();
  const { number, title, says, options, chosen, single = false, missing } = props;
  return (
    <fieldset
      class="question"
      tabIndex={-1}
      aria-describedby={missing === null ? undefined : id}
      data-question={number}
    >
      <legend>
        <span class="question-number">{number}</span> {title}
      </legend>
      {says !== undefined && <p class="quiet">{says}</p>}
      {missing !== null && (
        <p id={id} class="trouble">
          {missing}
        </p>
      )}
      {options.map((option) => (
        <label key={option.id} class="pick">
          <input
            type={single ? 'radio' : 'checkbox'}
            name={id}
            checked={chosen.includes(option.id)}
            onChange={(event) => {
              props.onChoose(option.id, event.currentTarget.checked);
            }}
          />
          <span>{option.words}</span>
        </label>
      ))}
    </fieldset>
  );
}
