import { describe, expect, test } from 'vitest';
import { against, clock, length } from '../../../sim/judge/text.ts';

describe('how a judge writes', () => {
  test('moments to the millisecond, and no longer than needed', () => {
    expect([192_000, 192_400, 192_001, 3_600_000].map(clock)).toEqual([
      '0:03:12',
      '0:03:12.4',
      '0:03:12.001',
      '1:00:00',
    ]);
  });

  test('lengths to the millisecond', () => {
    expect([0, 1, 15_000, 15_001, 300_000, 330_000].map(length)).toEqual([
      '0 s',
      '0.001 s',
      '15 s',
      '15.001 s',
      '5 min',
      '5 min 30 s',
    ]);
  });

  test('limits with their source and how far they were met or missed', () => {
    expect(against(15_000, 'respondWithin of the rig', 1)).toBe(
      'The limit is 15 s (respondWithin of the rig): met with 0.001 s to spare.',
    );
    expect(against(15_000, 'respondWithin of the rig', 0)).toMatch(/met to the millisecond/u);
    expect(against(15_000, 'respondWithin of the rig', -2_000)).toMatch(/missed by 2 s/u);
  });
});
