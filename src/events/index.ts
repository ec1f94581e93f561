export * from './catalogue.ts';
export * from './cloud-event.ts';
