export { type BusClient, busClient } from './bus-client.ts';
export * from './core.ts';
export { coilsOf, inputCount } from './field-io.ts';
export { type Addressed, planOf, requestsOf, type SupervisorPlan } from './plan.ts';
export { Supervisor } from './shell.ts';
export { supervisorSnapshot } from './snapshot.ts';
export type { Words } from './understand.ts';
export { VirtualSupervisor, type VirtualWire } from './virtual.ts';
