/** The book of a bench that has none. */
import type { LessonBook } from './lesson-book.ts';

export const NO_LESSONS: LessonBook = {
  list: () => [],
  get: () => null,
  play: () => Promise.resolve('This bench has no lessons.'),
  stop: () => undefined,
};
