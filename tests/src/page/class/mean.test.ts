import { expect, it } from 'vitest';
import type { Answer } from '../../../../src/lesson/index.ts';
import { classMean } from '../../../../src/page/class/mean.ts';
import type { ClassSeat } from '../../../../src/page/class/types.ts';

const ANSWER: Answer = { causes: ['leak'], where: ['cabinet'], next: 'find-leak', restart: 'after-mending' };

function seat(answer: Answer | null, total: number | null): ClassSeat {
  const score = total === null ? null : { causes: 0, where: 0, next: 0, restart: 0, total };
  return { id: 'seat-1', name: 'Ann', present: true, answer, score };
}

it('counts who sent no answer with no point, as the scores do, and who came after the reveal not at all', () => {
  const seats = [seat(ANSWER, 4), seat(ANSWER, 2), seat(null, 0), seat(null, null)];
  expect(classMean(seats)).toEqual({ mean: 2, silent: 1 });
  expect(classMean([seat(null, 0)])).toEqual({ mean: 0, silent: 1 });
  expect(classMean([seat(null, null)])).toBeNull();
});
