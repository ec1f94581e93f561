export * from './batch.ts';
export { Coverage, type RuleCoverage } from './coverage.ts';
export { isEvent, reachedIn } from './outside.ts';
export { drillOf } from './plan.ts';
export type { Plan } from './planned.ts';
export * from './search.ts';
export { spanText } from './spans.ts';
