/** Lessons a class can have, those that are listed and one given as text, and whoever plays them. */
import type { NotDone } from '../../api/class-port.ts';
import type { ClassView, LessonWanted } from '../../api/class-schema.ts';
import type { ClassLesson } from '../../class/index.ts';

export interface LessonBook {
  /** In the order in which they are taught. */
  list(): Promise<readonly LessonRow[]>;
  get(wanted: LessonWanted): Promise<LessonFound | NotDone>;
  /** Plays its drill from a fresh start of the bench; a sentence where it cannot. */
  play(wanted: LessonWanted): Promise<string | null>;
  /** Ends the drill that plays, if one does. */
  stop(): void;
}

export interface LessonFound {
  readonly ok: true;
  readonly lesson: ClassLesson;
}

export type LessonRow = ClassView['lessons'][number];

export const NO_SUCH_LESSON: NotDone = {
  ok: false,
  problem: 'No lesson of this bench has this id.',
  missing: true,
};
