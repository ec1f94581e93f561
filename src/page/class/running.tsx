/** While a lesson is on: what may be projected, and how far the class is. */
import type { Signal } from '@preact/signals';
import { Drawing } from '../field/drawing.tsx';
import { Sure } from '../parts/sure.tsx';
import { C } from '../texts/class.ts';
import { F } from '../texts/field.ts';
import { S } from '../texts/seat.ts';
import type { Desk } from './desk.ts';
import { Hand } from './hand.tsx';
import { Invitation } from './invitation.tsx';
import { useQuestions } from './questions.ts';
import { Seats } from './seats.tsx';
import { Teaching } from './told.tsx';
import type { ClassLesson, ClassView } from './types.ts';
import { listAt, QUESTION_IDS, rightAt } from './words.ts';

interface RunningProps {
  readonly room: ClassView;
  readonly lesson: ClassLesson;
  readonly desk: Desk;
  readonly peek: Signal<boolean>;
}

export function Running({ room, lesson, desk, peek }: RunningProps) {
  return (
    <div class="lesson-on">
      <header class="lesson-title">
        <h2>{lesson.title}</h2>
      </header>
      <section class="projected" aria-label={F.unit}>
        {room.field !== null && <Drawing field={room.field} power={null} />}
      </section>
      <div class="lesson-side">
        <div class="buttons">
          <Sure name="reveal" word={C.reveal} question={C.revealSure} ask={desk.reveal} />
          <Sure name="drop" word={C.drop} question={C.dropSure} ask={desk.drop} />
        </div>
        <label class="pick">
          <input
            type="checkbox"
            checked={peek.value}
            onChange={(event) => {
              peek.value = event.currentTarget.checked;
            }}
          />
          <span>{C.private}</span>
        </label>
        <Seats room={room} desk={desk} peek={peek.value} />
        <Hand room={room} desk={desk} />
        <Invitation room={room} folded />
      </div>
      {peek.value && <Notes lesson={lesson} />}
    </div>
  );
}

function Notes({ lesson }: { readonly lesson: ClassLesson }) {
  return (
    <section class="notes" aria-label={C.notes}>
      <h2>{C.notes}</h2>
      <h3>{C.itsCase}</h3>
      <p>{lesson.name}</p>
      <p>{lesson.why}</p>
      <Right lesson={lesson} />
      <Teaching told={lesson} />
    </section>
  );
}

/** The solution in words, question by question. */
export function Right({ lesson }: { readonly lesson: ClassLesson }) {
  const questions = useQuestions();
  return (
    <section class="right-answer" aria-label={C.solution}>
      <h3>{C.solution}</h3>
      <dl class="facts">
        {QUESTION_IDS.flatMap((question) => [
          <dt key={`${question}?`}>{S[question]}</dt>,
          <dd key={question}>
            {listAt(question, rightAt(lesson.solution, question), questions) || S.nothing}
          </dd>,
        ])}
      </dl>
    </section>
  );
}
