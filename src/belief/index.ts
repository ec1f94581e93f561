export * from './plant-belief.ts';
export * from './sensor-belief.ts';
