/**
 * One of the four questions, folded to what was chosen until it is opened: boxes for a list, buttons for a
 * choice; a whole row is the target.
 */
import { useId } from 'preact/hooks';
import { S } from '../texts/seat.ts';

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
  /** What it comes to where nothing is chosen. */
  readonly none?: string;
  /** One answer only. */
  readonly single?: boolean;
  /** The sentence about what is missing here, where it is. */
  readonly missing: string | null;
  readonly open: boolean;
  readonly onToggle: (open: boolean) => void;
  /** null at the last one. */
  readonly onNext: (() => void) | null;
  readonly onChoose: (id: Id, chosen: boolean) => void;
}

export function Question<Id extends string>(props: QuestionProps<Id>) {
  const id = useId();
  const { number, title, says, options, chosen, none = S.notChosen, missing, open, onNext } = props;
  return (
    <details
      class="question"
      open={open}
      onToggle={(event) => {
        if (event.currentTarget.open !== open) props.onToggle(event.currentTarget.open);
      }}
    >
      <summary data-question={number}>
        <span class="question-number">{number}</span>
        <span>
          <span class="question-title">{title}</span>
          {!open && <Chosen options={options} chosen={chosen} none={none} />}
        </span>
      </summary>
      <fieldset {...(missing === null ? {} : { 'aria-describedby': id })}>
        <legend class="only-heard">{title}</legend>
        {says !== undefined && <p class="quiet">{says}</p>}
        <p id={id} class="trouble" role="alert">
          {missing}
        </p>
        <Options {...props} />
      </fieldset>
      {onNext !== null && (
        <button type="button" class="next-question" onClick={onNext}>
          {S.nextQuestion}
        </button>
      )}
    </details>
  );
}

function Options<Id extends string>({ options, chosen, single = false, onChoose }: QuestionProps<Id>) {
  const name = useId();
  return (
    <>
      {options.map((option) => (
        <label key={option.id} class="pick">
          <input
            type={single ? 'radio' : 'checkbox'}
            name={name}
            checked={chosen.includes(option.id)}
            onChange={(event) => {
              onChoose(option.id, event.currentTarget.checked);
            }}
          />
          <span>{option.words}</span>
        </label>
      ))}
    </>
  );
}

type ChosenProps<Id extends string> = Required<Pick<QuestionProps<Id>, 'options' | 'chosen' | 'none'>>;

function Chosen<Id extends string>({ options, chosen, none }: ChosenProps<Id>) {
  const words = options.filter((one) => chosen.includes(one.id)).map((one) => one.words);
  return <span class="question-chosen">{words.length === 0 ? none : words.join('; ')}</span>;
}
