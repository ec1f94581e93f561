export * from './fault-table.ts';
