/** A mistake is told though a survey has asked rightly beside it, as long as that is hardly ever. */
import { describe, expect, test } from 'vitest';
import { Asking, COIL_A, RIGHT_A, RIGHT_B, read, rightCycle } from './asking.ts';

/** Asks coil-a as given in all of `cycles`, and rightly in the cycles named. */
function beside(pdu: readonly number[], cycles: number, rightly: readonly number[]): Asking {
  const asking = new Asking();
  return asking.cycles(cycles, 1000, (turn) => {
    rightCycle(asking, [[COIL_A, pdu], RIGHT_B, ...(rightly.includes(turn) ? [RIGHT_A] : [])]);
  });
}

describe('a survey beside the mistake', () => {
  test('does not hide that registers are counted from 1', () => {
    const asking = beside(read(4, 1, 8), 60, [7, 8]);
    expect(asking.said()).toEqual(['counts-from-1']);
    expect(asking.text('counts-from-1')).toContain(
      'and hardly ever (2 of 62 requests) at 0 (state), where its profile',
    );
  });

  test('does not hide that tables are mixed up', () => {
    const asking = beside(read(3, 0, 11), 60, [7, 8]);
    expect(asking.said()).toEqual(['tables-mixed-up']);
    expect(asking.text('tables-mixed-up')).toContain(
      'hardly ever (2 of 62 requests) asked for: use function 04',
    );
  });

  test('is none where right requests come again and again, however seldom', () => {
    expect(beside(read(4, 1, 8), 200, [10, 50, 90, 130, 170]).said()).toEqual([]);
    expect(beside(read(4, 1, 8), 60, [1, 2, 3, 4]).said()).toEqual([]);
  });
});
