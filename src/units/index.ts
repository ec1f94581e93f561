export * from './brands.ts';
export * from './format.ts';
export * from './quantity.ts';
