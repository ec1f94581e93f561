/** The catalogue: every word that the page shows of its own, a file a part of the page. */
export * from './because.ts';
export * from './bench.ts';
export * from './chart.ts';
export * from './drills.ts';
export * from './hands.ts';
export * from './polls.ts';
