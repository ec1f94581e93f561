/** The live shell with every write, timer and wire failing at random moments; long: tests/long. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { histories, wrongIn } from '../../helpers/faulty-history.ts';

test('whatever fails around it, nothing unsafe is commanded, and it recovers in time', async () => {
  await fc.assert(
    fc.asyncProperty(histories, async (told) => {
      expect(await wrongIn(told)).toEqual([]);
    }),
    { numRuns: 200, endOnFailure: true },
  );
});
