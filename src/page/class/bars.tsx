/** What the class said to each question: how many, who, and what was right. */
import { C } from '../texts/class.ts';
import { S } from '../texts/seat.ts';
import { useQuestions } from './questions.ts';
import type { ClassLesson, ClassSeat } from './types.ts';
import { VerdictMark } from './verdict.tsx';
import { chosenAt, QUESTION_IDS, type QuestionId, rightAt, wordsAt } from './words.ts';

interface BarsProps {
  readonly seats: readonly ClassSeat[];
  readonly lesson: ClassLesson;
}

export function Bars(props: BarsProps) {
  return (
    <section aria-label={C.distribution}>
      <h2>{C.distribution}</h2>
      <div class="bars-questions">
        {QUESTION_IDS.map((question) => (
          <Bar key={question} question={question} {...props} />
        ))}
      </div>
    </section>
  );
}

function Bar({ question, seats, lesson }: BarsProps & { readonly question: QuestionId }) {
  const questions = useQuestions();
  const answers = seats.filter(({ answer }) => answer !== null);
  const rows = rowsOf(question, answers, lesson);
  return (
    <section>
      <h3>{S[question]}</h3>
      {rows.length === 0 && <p class="quiet">{S.nothing}</p>}
      <ul>
        {rows.map(({ id, isRight, names }) => (
          <li key={id} class={isRight ? 'bar is-right' : 'bar'}>
            <p class="bar-words">
              {isRight && <VerdictMark verdict="right" />} {wordsAt(question, id, questions)}
            </p>
            <svg class="bar-shape" viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
              <rect class="bar-scale" width="100" height="8" />
              <rect class="bar-fill" width={(100 * names.length) / Math.max(1, answers.length)} height="8" />
            </svg>
            <span class="figure">{C.ofAnswers(names.length, answers.length)}</span>
            {names.length > 0 && <p class="quiet bar-names">{names.join(', ')}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}

interface BarRow {
  readonly id: string;
  readonly isRight: boolean;
  readonly names: readonly string[];
}

/** What is right, chosen or not, comes first; then what was chosen, most first. */
function rowsOf(question: QuestionId, seats: readonly ClassSeat[], { solution }: ClassLesson): BarRow[] {
  const right = rightAt(solution, question);
  const names = new Map<string, string[]>(right.map((id) => [id, []]));
  for (const { answer, name } of seats) {
    if (answer === null) continue;
    for (const id of chosenAt(answer, question)) names.set(id, [...(names.get(id) ?? []), name]);
  }
  const rows = [...names].map(([id, who]) => ({ id, isRight: right.includes(id), names: who }));
  return rows.sort(
    (one, other) => Number(other.isRight) - Number(one.isRight) || other.names.length - one.names.length,
  );
}
