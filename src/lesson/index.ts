export * from './causes.ts';
export * from './next-steps.ts';
export * from './parts.ts';
export * from './score.ts';
