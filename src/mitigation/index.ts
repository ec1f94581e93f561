export { becauseOf } from './because.ts';
export { holdLeftMs } from './hold.ts';
export { leftStopped } from './left-stopped.ts';
export * from './machine.ts';
export { type Output, outputNames, readOutput } from './outputs.ts';
export { hazardSentence } from './sentences.ts';
export * from './situation.ts';
export * from './state.ts';
export { steadyUntilMs } from './steady.ts';
