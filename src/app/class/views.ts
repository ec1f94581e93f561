/** A class as its instructor sees it, and as a seat does. */
import type { ClassPicture } from '../../api/class-port.ts';
import type { FieldView, SeatView } from '../../api/class-schema.ts';
import {
  type Class,
  type ClassLesson,
  isPresent,
  type LessonOn,
  mayFlip,
  NO_POINTS,
} from '../../class/index.ts';
import type { PartChoice } from '../../lesson/index.ts';
import type { LessonRow } from './lesson-book.ts';

export function classPicture(
  open: Class,
  lessons: readonly LessonRow[],
  now: number,
  field: () => FieldView,
): ClassPicture {
  return {
    code: open.code,
    expiresAt: new Date(open.expiresAtMs).toISOString(),
    lessons: [...lessons],
    seats: open.seats.map((seat) => {
      const { id, name, answer, score } = seat;
      return { id, name, present: isPresent(seat, now), answer: answer && copied(answer), score };
    }),
    hand: open.hand,
    lesson: open.lesson === null ? null : lessonPicture(open.lesson),
    scores: open.scores.map(({ lesson, seat, score }) => ({ lesson, seat, total: score.total })),
    field: open.lesson === null ? null : field(),
  };
}

/** null for a seat that is not there. */
export function seatView(
  open: Class,
  id: string,
  parts: readonly PartChoice[],
  field: () => FieldView,
): SeatView | null {
  const seat = open.seats.find((one) => one.id === id);
  if (seat === undefined) return null;
  const { lesson } = open;
  const isRevealed = lesson?.phase === 'revealed';
  return {
    name: seat.name,
    phase: lesson?.phase ?? 'gathering',
    title: lesson?.lesson.title ?? null,
    mayFlip: mayFlip(open, id),
    questions: { parts: [...parts] },
    field: lesson === null ? null : field(),
    answer: seat.answer && copied(seat.answer),
    // The one place where a seat is told the solution.
    result: isRevealed ? { score: seat.score ?? NO_POINTS, ...told(lesson.lesson) } : null,
  };
}

function lessonPicture({ phase, beganAtMs, lesson }: LessonOn): NonNullable<ClassPicture['lesson']> {
  const { id, title, name, why } = lesson;
  return { id, title, name, why, phase, beganAtMs, ...told(lesson) };
}

function told({ solution, shows, teach, safeNextStep }: ClassLesson) {
  const { causes, where, next, restart } = solution;
  return {
    solution: { causes: [...causes], where: [...where], next: [...next], restart: [...restart] },
    shows,
    teach: [...teach],
    safeNextStep,
  };
}

function copied(answer: NonNullable<Class['seats'][number]['answer']>): NonNullable<SeatView['answer']> {
  return { ...answer, causes: [...answer.causes], where: [...answer.where] };
}
