export * from './refrigerant.ts';
