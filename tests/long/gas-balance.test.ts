/** Mass balance of the gas over ten thousand random histories, in rooms of every kind. */
import { expect, test } from 'vitest';
import { balanceHolds } from '../sim/gas/balance.ts';

const HISTORIES = 10_000;

test('no gas is lost or made, to 1e-9 of it, over ten thousand random histories', () => {
  const seen = balanceHolds(HISTORIES);
  expect(seen.filled).toBeGreaterThan(HISTORIES / 20);
  expect(seen.layered).toBeGreaterThan(HISTORIES / 5);
  expect(seen.falling).toBeGreaterThan(HISTORIES / 5);
}, 900_000);
