export * from './bench-clock.ts';
