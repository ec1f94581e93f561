export * from './fault-table.ts';
export { type ParameterTold, parametersTold } from './parameters.ts';
export type { FaultTarget, Row } from './row.ts';
export { WIRE_FAULT_KINDS, type WireFaultKind } from './wire-faults.ts';
