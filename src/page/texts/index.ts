export * from './because.ts';
export * from './bench.ts';
export * from './drills.ts';
export * from './hands.ts';
export * from './polls.ts';
