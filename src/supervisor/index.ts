export { type BusClient, busClient } from './bus-client.ts';
export * from './core.ts';
export { coilsOf } from './field-io.ts';
export { planOf, requestsOf, type SupervisorPlan } from './plan.ts';
export type { PollSeen } from './poll-seen.ts';
export { Supervisor } from './shell.ts';
export { supervisorSnapshot } from './snapshot.ts';
export { heardFrom, inputsFrom, type Words } from './understand.ts';
export { performVirtually, VirtualSupervisor, type VirtualWire } from './virtual.ts';
