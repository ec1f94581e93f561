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

  test.each([
    [13, '13 ms'],
    [950, '950 ms'],
    [15_013, '15 s'],
    [15_050, '15.1 s'],
    [59_960, '1 min'],
    [117_013, '1 min 57 s'],
    [182_987, '3 min 3 s'],
  ])('a length of %d ms as %s: tenths, from a minute on whole seconds', (durationMs, text) => {
    expect(length(durationMs)).toBe(text);
  });

  test.each([
    [179_513, 180_000, '179.513 s'],
    [180_487, 180_000, '180.487 s'],
    [44_960, 45_000, '44.96 s'],
    [180_000, 180_000, '3 min'],
    [178_987, 180_000, '2 min 59 s'],
  ])('a length of %d ms never as its limit of %d, but where it is that', (durationMs, limitMs, text) => {
    expect(length(durationMs, limitMs)).toBe(text);
  });

  test('limits with their source and how far they were met or missed', () => {
    expect(against(15_000, 'respondWithin of the rig', 1)).toBe(
      'The limit is 15 s (respondWithin of the rig): met with 1 ms to spare.',
    );
    expect(against(15_000, 'respondWithin of the rig', 0)).toMatch(/met to the millisecond/u);
    expect(against(15_000, 'respondWithin of the rig', -2_000)).toMatch(/missed by 2 s/u);
    expect(against(300_000, 'hold of the rig', -182_987)).toMatch(/missed by 3 min 3 s\./u);
  });
});
