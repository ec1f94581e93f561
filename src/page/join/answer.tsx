/** The four questions. An answer counts once it is sent, and may be changed until it is revealed. */
import { type Signal, useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import {
  CAUSE_IDS,
  CAUSES,
  NEXT_STEP_IDS,
  NEXT_STEPS,
  RESTART_IDS,
  RESTARTS,
} from '../../lesson/index.ts';
import type { SeatView } from '../class/types.ts';
import { Mark } from '../parts/mark.tsx';
import { S } from '../texts/seat.ts';
import { asAnswer, type Draft, EMPTY, isSame, openQuestion, withCause, withPart } from './draft.ts';
import { keepDraft, keptDraft } from './kept.ts';
import { Question } from './question.tsx';
import type { Seat } from './seat.ts';

const OPTIONS = {
  causes: CAUSE_IDS.map((id) => ({ id, words: CAUSES[id].words })),
  next: NEXT_STEP_IDS.map((id) => ({ id, words: NEXT_STEPS[id] })),
  restart: RESTART_IDS.map((id) => ({ id, words: RESTARTS[id] })),
};
const NUMBER_OF = { causes: 1, next: 3, restart: 4 } as const;

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
  const open = openQuestion(draft.value);

  const send = async (): Promise<void> => {
    const answer = asAnswer(draft.value);
    if (busy.value) return;
    if (open !== null || answer === null) {
      nagging.value = true;
      if (open !== null) focusQuestion(form.current, NUMBER_OF[open]);
      return;
    }
    busy.value = true;
    const got = await seat.answer(answer);
    busy.value = false;
    refusal.value = got.ok ? '' : S.notSent + got.text;
    if (got.ok) keepDraft(title, null);
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
      <Questions view={view} draft={draft} open={nagging.value ? open : null} />
      <Sent view={view} draft={draft.value} refusal={refusal.value} busy={busy.value} />
    </form>
  );
}

function focusQuestion(form: HTMLFormElement | null, number: number): void {
  form?.querySelector<HTMLElement>(`[data-question="${number}"]`)?.focus();
}

interface QuestionsProps {
  readonly view: SeatView;
  readonly draft: Signal<Draft>;
  readonly open: ReturnType<typeof openQuestion>;
}

function Questions({ view, draft, open }: QuestionsProps) {
  const { value } = draft;
  const change = (next: Draft): void => {
    draft.value = next;
    keepDraft(view.title ?? '', next);
  };
  const missing = (question: 'causes' | 'next' | 'restart') => (open === question ? S.open[question] : null);
  return (
    <>
      <Question
        number={1}
        title={S.causes}
        says={S.causesSays}
        options={OPTIONS.causes}
        chosen={value.causes}
        missing={missing('causes')}
        onChoose={(id, chosen) => {
          change(withCause(value, id, chosen));
        }}
      />
      <Question
        number={2}
        title={S.where}
        says={S.whereSays}
        options={view.questions.parts}
        chosen={value.where}
        missing={null}
        onChoose={(id, chosen) => {
          change(withPart(value, id, chosen));
        }}
      />
      <Question
        number={3}
        title={S.next}
        options={OPTIONS.next}
        chosen={value.next === null ? [] : [value.next]}
        single
        missing={missing('next')}
        onChoose={(next) => {
          change({ ...value, next });
        }}
      />
      <Question
        number={4}
        title={S.restart}
        options={OPTIONS.restart}
        chosen={value.restart === null ? [] : [value.restart]}
        single
        missing={missing('restart')}
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
