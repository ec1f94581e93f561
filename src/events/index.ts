export * from './catalogue.ts';
export * from './cloud-event.ts';
export * from './facts-lost.ts';
export * from './for-a-start.ts';
