export * from './field-io.ts';
export * from './plant.ts';
