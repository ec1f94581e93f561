export { type FiguresCase, INSTALLS, type Install } from './case.ts';
export type { Amount, Figure, FigureGroup, Standing } from './figure.ts';
export { amount } from './figure.ts';
export { figuresFor, outsideOf } from './figures-for.ts';
export * from './formulas.ts';
export { qlmv } from './qlmv.ts';
export * from './say.ts';
