/** A million requests and messages at the API of a whole bench; LEAKBENCH_SEED=N draws others. */
import { expect, test } from 'vitest';
import { fuzzAll } from '../src/api/fuzz/fuzz-all.ts';

const HOURS_2 = 7_200_000;
/** Of a million; LEAKBENCH_FUZZ=0.1 for a tenth of it. */
const SHARE = Number(process.env['LEAKBENCH_FUZZ'] ?? 1);
const COUNTS = {
  outsiders: 300_000,
  anybody: 300_000,
  rawOutsiders: 100_000,
  rawAnybody: 100_000,
  messages: 200_000,
};

test('the API takes whatever is sent', { timeout: HOURS_2, retry: 0 }, async () => {
  const counts = Object.entries(COUNTS).map(([kind, count]) => [kind, Math.ceil(count * SHARE)]);
  const began = performance.now();
  await fuzzAll(Object.fromEntries(counts) as typeof COUNTS);
  console.log(`fuzzed for ${Math.round((performance.now() - began) / 1000)} s`);
  expect(SHARE).toBeGreaterThan(0);
});
