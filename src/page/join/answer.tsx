/** The four questions. An answer counts once it is sent, and may be changed until it is revealed. */
import { type Signal, useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import { CAUSE_IDS, CAUSES, NEXT_STEP_IDS, NEXT_STEPS, RESTART_IDS, RESTARTS } from '../../lesson/index.ts';
import type { SeatView } from '../class/types.ts';
import { QUESTION_IDS, type QuestionId } from '../class/words.ts';
import { Mark } from '../parts/mark.tsx';
import { S } from '../texts/seat.ts';
import {
  asAnswer,
  type Draft,
  EMPTY,
  isSame,
  type OpenQuestion,
  openQuestion,
  withCause,
  withPart,
} from './draft.ts';
import { keepDraft, keptDraft } from './kept.ts';
import { Question } from './question.tsx';
import type { Seat } from './seat.ts';

const OPTIONS = {
  causes: CAUSE_IDS.map((id) => ({ id, words: CAUSES[id].words })),
  next: NEXT_STEP_IDS.map((id) => ({ id, words: NEXT_STEPS[id] })),
  restart: RESTART_IDS.map((id) => ({ id, words: RESTARTS[id] })),
};

/** As it stands before its title. */
function numberOf(question: QuestionId): number {
  return QUESTION_IDS.indexOf(question) + 1;
}

interface AnswerProps {
  readonly seat: Seat;
  readonly view: SeatView;
}

export function AnswerForm({ seat, view }: AnswerProps) {
  const title = view.title ?? '';
  const draft = useSignal<Draft>(keptDraft(title) ?? view.answer ?? EMPTY);
  const nagging = useSignal(false);
  const busy = useSignal(false);
  const refusal = useSignal('');
  const form = useRef<HTMLFormElement>(null);
  const at = useSignal(view.answer === null ? 1 : 0);
  const open = openQuestion(draft.value);

  const goTo = (number: number): void => {
    at.value = number;
    const summary = form.current?.querySelector<HTMLElement>(`[data-question="${number}"]`);
    summary?.focus();
    // Once the one before it has folded.
    requestAnimationFrame(() => summary?.scrollIntoView({ block: 'start' }));
  };
  const send = async (): Promise<void> => {
    const answer = asAnswer(draft.value);
    if (busy.value) return;
    if (open !== null || answer === null) {
      nagging.value = true;
      if (open !== null) goTo(numberOf(open));
      return;
    }
    busy.value = true;
    const got = await seat.answer(answer);
    busy.value = false;
    refusal.value = got.ok ? '' : S.notSent + got.text;
    if (!got.ok) return;
    keepDraft(title, null);
    at.value = 0;
  };
  return (
    <form
      ref={form}
      class="answer"
      onSubmit={(event) => {
        event.preventDefault();
        void send();
      }}
    >
      <Questions view={view} draft={draft} open={nagging.value ? open : null} at={at} goTo={goTo} />
      <Sent view={view} draft={draft.value} refusal={refusal.value} busy={busy.value} />
    </form>
  );
}

interface QuestionsProps {
  readonly view: SeatView;
  readonly draft: Signal<Draft>;
  readonly open: OpenQuestion | null;
  /** The number of the question that is unfolded; 0 for none. */
  readonly at: Signal<number>;
  readonly goTo: (number: number) => void;
}

function Questions({ view, draft, open, at, goTo }: QuestionsProps) {
  const { value } = draft;
  const change = (next: Draft): void => {
    draft.value = next;
    keepDraft(view.title ?? '', next);
  };
  const common = (question: QuestionId) => {
    const number = numberOf(question);
    return {
      number,
      title: S[question],
      open: at.value === number,
      missing: open === question ? S.open[open] : null,
      onToggle: (unfolded: boolean): void => {
        if (unfolded) at.value = number;
        else if (at.value === number) at.value = 0;
      },
      onNext:
        number === QUESTION_IDS.length
          ? null
          : () => {
              goTo(number + 1);
            },
    };
  };
  return (
    <>
      <Question
        {...common('causes')}
        says={S.causesSays}
        options={OPTIONS.causes}
        chosen={value.causes}
        onChoose={(id, chosen) => {
          change(withCause(value, id, chosen));
        }}
      />
      <Question
        {...common('where')}
        says={S.whereSays}
        none={S.noPart}
        options={view.questions.parts}
        chosen={value.where}
        onChoose={(id, chosen) => {
          change(withPart(value, id, chosen));
        }}
      />
      <Question
        {...common('next')}
        options={OPTIONS.next}
        chosen={value.next === null ? [] : [value.next]}
        single
        onChoose={(next) => {
          change({ ...value, next });
        }}
      />
      <Question
        {...common('restart')}
        options={OPTIONS.restart}
        chosen={value.restart === null ? [] : [value.restart]}
        single
        onChoose={(restart) => {
          change({ ...value, restart });
        }}
      />
    </>
  );
}

interface SentProps {
  readonly view: SeatView;
  readonly draft: Draft;
  readonly refusal: string;
  readonly busy: boolean;
}

function Sent({ view: { answer }, draft, refusal, busy }: SentProps) {
  const same = answer !== null && isSame(draft, answer);
  return (
    <div class="send">
      <p class="sent" aria-live="polite">
        {refusal !== '' && (
          <>
            <Mark kind="warning" /> {refusal}
          </>
        )}
        {refusal === '' && answer !== null && (
          <>
            <Mark kind={same ? 'good' : 'notice'} /> {same ? S.sent : S.changed}
          </>
        )}
      </p>
      {!same && (
        <button type="submit" class="main-act" aria-busy={busy}>
          {busy ? S.sending : answer === null ? S.send : S.sendChange}
        </button>
      )}
    </div>
  );
}
