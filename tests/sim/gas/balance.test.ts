/** The short form; tests/long/gas-balance.test.ts goes over ten thousand histories. */
import { expect, test } from 'vitest';
import { balanceHolds } from './balance.ts';

test('no gas is lost or made, to 1e-9 of it, in any room over any history, and none exceeds pure vapour', () => {
  const runs = 400;
  const seen = balanceHolds(runs);
  expect(seen.filled).toBeGreaterThan(runs / 20);
  expect(seen.layered).toBeGreaterThan(runs / 5);
  expect(seen.falling).toBeGreaterThan(runs / 5);
});
