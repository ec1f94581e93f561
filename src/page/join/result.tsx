/** After the reveal: each question with what was said and what was right, then why. */
import { SCORE_MAX } from '../../lesson/index.ts';
import { Teaching } from '../class/told.tsx';
import type { SeatView } from '../class/types.ts';
import { VerdictMark } from '../class/verdict.tsx';
import { chosenAt, QUESTION_IDS, type QuestionId, rightAt, verdictOf, wordsAt } from '../class/words.ts';
import { S } from '../texts/seat.ts';

export function Result({ view }: { readonly view: SeatView }) {
  const { result, answer } = view;
  if (result === null) return null;
  return (
    <div class="result">
      {answer === null ? (
        <p class="own-score">{S.noAnswer}</p>
      ) : (
        <p class="own-score">
          {S.scoreOf}: <strong>{S.score(result.score.total, SCORE_MAX)}</strong>
        </p>
      )}
      {QUESTION_IDS.map((question) => (
        <Outcome key={question} question={question} view={view} result={result} />
      ))}
      <Teaching told={result} />
    </div>
  );
}

interface OutcomeProps {
  readonly question: QuestionId;
  readonly view: SeatView;
  readonly result: NonNullable<SeatView['result']>;
}

function Outcome({ question, view: { answer, questions }, result }: OutcomeProps) {
  const verdict = verdictOf(answer, result.score, question);
  const right = rightAt(result.solution, question);
  const words = (ids: readonly string[]) =>
    ids.length === 0 ? [S.nothing] : ids.map((id) => wordsAt(question, id, questions));
  const isChoice = question === 'next' || question === 'restart';
  return (
    <section class="outcome">
      <h3>{S[question]}</h3>
      {answer !== null && (
        <div>
          <VerdictMark verdict={verdict} />
          <Listed title={S.yours} lines={words(chosenAt(answer, question))} />
        </div>
      )}
      {verdict !== 'right' && (
        <Listed title={isChoice && right.length > 1 ? S.rightAny : S.rightWas} lines={words(right)} />
      )}
    </section>
  );
}

function Listed({ title, lines }: { readonly title: string; readonly lines: readonly string[] }) {
  return (
    <div class="listed">
      <h4>{title}</h4>
      <ul>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </div>
  );
}
