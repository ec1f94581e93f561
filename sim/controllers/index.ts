export { type Decision, decide, type Kept, type Memory, powerUp } from './minimal-controller.ts';
export type { Commands, Cycle, Plan, PlannedSensor, Policy, Told } from './plan.ts';
