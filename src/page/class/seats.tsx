/** Who is there and who has answered; on a screen that only the instructor sees, also what. */
import { Mark } from '../parts/mark.tsx';
import { Sure } from '../parts/sure.tsx';
import { C } from '../texts/class.ts';
import type { Desk } from './desk.ts';
import { useQuestions } from './questions.ts';
import type { ClassSeat, ClassView } from './types.ts';
import { chosenAt, listAt, QUESTION_IDS } from './words.ts';

interface SeatsProps {
  readonly room: ClassView;
  readonly desk: Desk;
  /** Only the instructor sees this screen. */
  readonly peek: boolean;
}

export function Seats({ room, desk, peek }: SeatsProps) {
  const isRunning = room.lesson?.phase === 'running';
  const answered = room.seats.filter(({ answer }) => answer !== null).length;
  return (
    <section class="seats" aria-label={C.seats(room.seats.length)}>
      <h2 aria-live="polite">
        {isRunning ? C.answers(answered, room.seats.length) : C.seats(room.seats.length)}
      </h2>
      {room.seats.length === 0 && <p class="quiet">{C.noSeats}</p>}
      <ul class="seat-list">
        {room.seats.map((seat) => (
          <li key={seat.id} class={seat.present ? 'seat' : 'seat is-away'}>
            <Standing seat={seat} isRunning={isRunning} />
            <p class="seat-name">
              {seat.name}{' '}
              {!seat.present && (
                <span class="seat-away">
                  <Mark kind="warning" /> {C.absent}
                </span>
              )}
            </p>
            <Sure
              name={`remove ${seat.id}`}
              word={C.remove}
              heard={seat.name}
              question={C.removeSure(seat.name)}
              ask={() => desk.remove(seat.id)}
            />
            {peek && seat.answer !== null && <Said seat={seat} />}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Standing({ seat, isRunning }: { readonly seat: ClassSeat; readonly isRunning: boolean }) {
  if (!isRunning) return <Mark kind={seat.present ? 'good' : 'wait'} />;
  const has = seat.answer !== null;
  return (
    <span>
      <Mark kind={has ? 'good' : 'wait'} />
      <span class="only-heard">{has ? C.hasAnswered : C.notYet}</span>
    </span>
  );
}

function Said({ seat: { answer } }: { readonly seat: ClassSeat }) {
  const questions = useQuestions();
  if (answer === null) return null;
  const lines = QUESTION_IDS.map((question) => listAt(question, chosenAt(answer, question), questions));
  return (
    <ol class="said quiet">
      {lines.map((line, index) => (
        <li key={QUESTION_IDS[index]}>{line === '' ? '–' : line}</li>
      ))}
    </ol>
  );
}
