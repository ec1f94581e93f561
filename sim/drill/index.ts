export type { Drill } from './drill.ts';
export { expectationResults } from './expect.ts';
export type { Expectation, ExpectationResult, Expression } from './expectation.ts';
export { LESSON_KEYS } from './lesson-schema.ts';
export { drillOn, loadDrill, readDrillText } from './load-drill.ts';
export { misfitOf, type ShippedDrill, shippedDrills, shippedFiles } from './shipped.ts';
export type { Step, StepOutcome } from './step.ts';
