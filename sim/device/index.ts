export { reportsAfterMs } from './ageing.ts';
export * from './contact.ts';
export * from './dead-time.ts';
export * from './device.ts';
export { identityOf } from './identity.ts';
export * from './lamp.ts';
export { readingOf } from './reading.ts';
export * from './registers.ts';
