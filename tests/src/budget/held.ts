/** What a search found, held against the budget. */
import { expect } from 'vitest';
import type { Budget, LimitId } from '../../../src/budget/index.ts';
import type { Found } from './search.ts';

/** A bound is worth little where the worst that there is stays far below it. */
const NEAR_SHARE = 0.9;

export function holdsBound({ budget, ...found }: Found, said: string): void {
  expect(found.commandedMs, said).toBeLessThanOrEqual(budget.response.commandedMs);
  expect(found.airflowMs, said).toBeLessThanOrEqual(budget.response.airflowMs);
  expect(found.askedMs, said).toBeLessThanOrEqual(needOf(budget, 'ask'));
  expect(found.writtenMs, said).toBeLessThanOrEqual(needOf(budget, 'watchdog'));
}

export function nearBound({ budget, commandedMs }: Found, said: string): void {
  expect(commandedMs, said).toBeGreaterThanOrEqual(NEAR_SHARE * budget.response.commandedMs);
}

function needOf({ limits }: Budget, id: LimitId): number {
  return Math.max(...limits.filter((limit) => limit.id === id).map(({ needMs }) => needMs));
}
