export * from './causes.ts';
export type { Lesson } from './lesson.ts';
export * from './next-steps.ts';
export * from './parts.ts';
export * from './score.ts';
