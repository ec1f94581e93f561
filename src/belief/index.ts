export * from './plant-belief.ts';
export * from './sensor-belief.ts';
export { type SilenceLimits, unknownSinceMs } from './silence.ts';
