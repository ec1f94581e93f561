/** What a lesson tells a class beside the drill that it is played as. */
import type { Solution } from './score.ts';

export interface Lesson {
  /** Shown to the class from the start: it gives nothing away. */
  readonly title: string;
  readonly solution: Solution;
  /** What can be found with eyes, a meter and a portable reader. */
  readonly shows: string;
  /** Notes for the instructor, a paragraph each; the class sees them once the cause is told. */
  readonly teach: readonly string[];
  readonly safeNextStep: string;
}
