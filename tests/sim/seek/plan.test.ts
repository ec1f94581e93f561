/** Random drills: each can be run on its rig, and the limits of the rig are where they go. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FAULT_KINDS } from '../../../sim/faults/index.ts';
import { deedsOf } from '../../../sim/seek/deeds.ts';
import { focusOf, WAYS } from '../../../sim/seek/focus.ts';
import { drillOf, plansOf } from '../../../sim/seek/plan.ts';
import { spansOf, spanText } from '../../../sim/seek/spans.ts';
import { demoRig } from '../../helpers/demo.ts';

const rig = demoRig();
const S = 1000;

test.each(WAYS)(
  'a drill about $rule ($way) is one of this rig, its steps in order and inside its length',
  (way) => {
    fc.assert(
      fc.property(plansOf(rig, focusOf(way)), (plan) => {
        const { steps, lengthMs } = drillOf(plan, rig);
        const times = steps.map(({ atMs }) => atMs);
        expect(times).toEqual(times.toSorted((one, other) => one - other));
        expect(times.at(-1) ?? 0).toBeLessThanOrEqual(lengthMs);
      }),
      { numRuns: 40 },
    );
  },
);

test('a seed gives the same drills again', () => {
  const some = () => fc.sample(plansOf(rig, focusOf({ on: 'anything' })), { seed: 7, numRuns: 20 });
  expect(some()).toEqual(some());
});

test('every kind of fault of the bench can be drawn for a rig that has all kinds of parts', () => {
  const kinds = new Set(deedsOf(rig).possible.map(({ kind }) => kind));
  expect([...kinds].sort()).toEqual([...FAULT_KINDS].sort());
  fc.assert(
    fc.property(fc.constantFrom(...deedsOf(rig).possible).chain(deedsOf(rig).fault), (move) => {
      const steps = move.map(([atMs, deed]) => ({ atMs, deed }));
      const calls = { cooling: false, heating: false, fan: false };
      expect(drillOf({ lengthMs: S, calls, steps }, rig).steps).toHaveLength(1);
    }),
    { numRuns: 1000 },
  );
});

describe('spans of time', () => {
  const spans = spansOf(rig);

  test('hold each limit of the rig, and one poll before and after it', () => {
    const { holdMs, silentAfterMs, respondWithinMs, compressorMinOffMs } = rig.policy;
    for (const limit of [holdMs, silentAfterMs, respondWithinMs, compressorMinOffMs]) {
      expect(spans).toEqual(expect.arrayContaining([limit - S, limit, limit + S]));
    }
  });

  test('stand in order of how round they are', () => {
    expect(spans.slice(0, 4)).toEqual([0, 60 * S, 120 * S, 180 * S]);
    expect(spans.indexOf(300 * S)).toBeLessThan(spans.indexOf(299 * S));
  });

  test.each([
    [0, '0 s'],
    [90 * S, '90 s'],
    [300 * S, '5 min'],
    [1500, '1500 ms'],
  ])('%i ms are written as %s', (span, text) => {
    expect(spanText(span)).toBe(text);
  });
});
