export * from './outcome.ts';
export * from './plan.ts';
