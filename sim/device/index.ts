export * from './contact.ts';
export * from './device.ts';
export * from './lamp.ts';
export * from './registers.ts';
