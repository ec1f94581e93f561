export * from './causes.ts';
export type { Lesson } from './lesson.ts';
export * from './next-steps.ts';
export { type Part, partsOf } from './parts.ts';
export * from './score.ts';
