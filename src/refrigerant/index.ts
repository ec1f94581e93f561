export * from './blend.ts';
export * from './concentration.ts';
export * from './refrigerant.ts';
export type { LflRecord, Part, RefrigerantRow, SafetyClass } from './row.ts';
export * from './sources.ts';
export { ROWS } from './table.ts';
