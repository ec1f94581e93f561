export * from './code.ts';
export * from './join-urls.ts';
export * from './limits.ts';
export * from './refusals.ts';
export * from './state.ts';
export * from './step.ts';
export * from './wrong-codes.ts';
