/** Lessons a class can have, and whoever plays them. */
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

export interface LessonRow {
  readonly id: string;
  readonly title: string;
  readonly name: string;
  readonly why: string;
  readonly minutes: number;
  /** Why it cannot be played on the rig of this bench; null where it can. */
  readonly fits: string | null;
}
