export { type BusClient, busClient } from './bus-client.ts';
export * from './core.ts';
export { planOf, type SupervisorPlan } from './plan.ts';
export { Supervisor } from './shell.ts';
export { supervisorSnapshot } from './snapshot.ts';
export type { Words } from './understand.ts';
export { VirtualSupervisor, type VirtualWire } from './virtual.ts';
