export { editMap } from './edit-map.ts';
export * from './json-schema.ts';
export * from './package-root.ts';
export * from './problem.ts';
export * from './quantity-schema.ts';
export * from './suggestion.ts';
export * from './switch.ts';
export { type Finding, validate } from './validate.ts';
export * from './yaml-file.ts';
