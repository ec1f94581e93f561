export * from './advice.ts';
export * from './budget.ts';
export type { CycleTimes } from './cycle.ts';
export type { Limit, LimitId } from './limits.ts';
export type { Medium } from './request-time.ts';
export type { Assumptions, Item, ItemId, ResponseTime } from './response.ts';
