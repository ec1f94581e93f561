export * from './codec.ts';
export { type Point, wordsOf } from './point.ts';
export * from './points.ts';
export * from './profile.ts';
export * from './tables.ts';
