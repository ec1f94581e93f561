/** Lessons a class can have, and whoever plays them. */
import type { ClassView } from '../../api/class-schema.ts';
import type { ClassLesson } from '../../class/index.ts';

export interface LessonBook {
  /** In the order in which they are taught. */
  list(): Promise<readonly LessonRow[]>;
  get(id: string): Promise<ClassLesson | null>;
  /** Plays its drill from a fresh start of the bench; a sentence where it cannot. */
  play(id: string): Promise<string | null>;
  /** Ends the drill that plays, if one does. */
  stop(): void;
}

export type LessonRow = ClassView['lessons'][number];
