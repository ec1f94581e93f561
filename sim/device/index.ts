export * from './contact.ts';
export * from './device.ts';
export { identityOf } from './identity.ts';
export * from './lamp.ts';
export * from './registers.ts';
