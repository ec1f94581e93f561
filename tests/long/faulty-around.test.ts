/** 100,000 random histories of faults around the live supervisor, in virtual time. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { histories, wrongIn } from '../helpers/faulty-history.ts';

const RUNS = 100_000;
const HOUR_MS = 3_600_000;

test('whatever fails, in whatever order', { timeout: 3 * HOUR_MS, retry: 0 }, async () => {
  const beganMs = performance.now();
  await fc.assert(
    fc.asyncProperty(histories, async (told) => {
      expect(await wrongIn(told)).toEqual([]);
    }),
    { numRuns: RUNS },
  );
  const tookS = (performance.now() - beganMs) / 1000;
  console.log(`${RUNS} histories in ${tookS.toFixed(0)} s`);
});
