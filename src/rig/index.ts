export * from './address.ts';
export * from './field-io.ts';
export * from './limits.ts';
export * from './load.ts';
export * from './rig.ts';
export * from './service.ts';
export * from './time-constant.ts';
