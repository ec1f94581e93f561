/** Lessons that come with the bench, and one's own. What a title hides is told only where it is asked for. */
import { Act } from '../controls/act.tsx';
import { Mark } from '../parts/mark.tsx';
import { OwnFile } from '../parts/own-file.tsx';
import { C } from '../texts/class.ts';
import type { Desk } from './desk.ts';
import type { ClassView, OfferedLesson } from './types.ts';

export function Lessons({ room, desk }: { readonly room: ClassView; readonly desk: Desk }) {
  const played = new Set(room.scores.map(({ lesson }) => lesson));
  return (
    <section class="lessons" aria-label={C.lessons}>
      <h2>{played.size === 0 ? C.lessons : C.again}</h2>
      <ol>
        {room.lessons.map((lesson) => (
          <Row key={lesson.id} lesson={lesson} desk={desk} isPlayed={played.has(lesson.title)} />
        ))}
      </ol>
      <OwnLesson desk={desk} />
    </section>
  );
}

const OWN = 'own lesson';

function OwnLesson({ desk }: { readonly desk: Desk }) {
  return (
    <OwnFile name={OWN} title={C.own} says={C.ownSays}>
      {(file) => <Act name={OWN} word={C.startOwn} ask={() => file.hand((text) => desk.start({ text }))} />}
    </OwnFile>
  );
}

interface RowProps {
  readonly lesson: OfferedLesson;
  readonly desk: Desk;
  readonly isPlayed: boolean;
}

function Row({ lesson, desk, isPlayed }: RowProps) {
  return (
    <li class="lesson">
      <div class="lesson-head">
        <h3>{lesson.title}</h3>
        <span class="quiet">{C.minutes(lesson.minutes)}</span>
        {isPlayed && (
          <span class="quiet">
            <Mark kind="good" /> {C.played}
          </span>
        )}
      </div>
      {lesson.fits === null ? (
        <Act
          name={`lesson ${lesson.id}`}
          word={C.start}
          heard={lesson.title}
          ask={() => desk.start({ id: lesson.id })}
        />
      ) : (
        <p class="quiet">{lesson.fits}</p>
      )}
      <details>
        <summary>{C.teaches}</summary>
        <p>{lesson.name}</p>
        <p>{lesson.why}</p>
      </details>
    </li>
  );
}
