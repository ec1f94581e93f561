/** The catalogue: every word that the page shows of its own, a file a part of the page. */
export * from './bench.ts';
export * from './chart.ts';
export * from './polls.ts';
