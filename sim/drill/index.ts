export type { Drill } from './drill.ts';
export { expectationResults } from './expect.ts';
export type { Expectation, ExpectationResult, Expression } from './expectation.ts';
export { drillOn, loadDrill, type ReadDrill, readDrillText } from './load-drill.ts';
export type { Step, StepOutcome } from './step.ts';
