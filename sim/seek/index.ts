export * from './batch.ts';
export { Coverage, type RuleCoverage } from './coverage.ts';
export { isEvent, reachedIn } from './outside.ts';
export { drillOf, type Plan } from './plan.ts';
export * from './search.ts';
export { spanText } from './spans.ts';
