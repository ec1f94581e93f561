/** What a lesson was worth to the class. Who sent no answer counts as in the scores: with no point. */
import type { ClassSeat } from './types.ts';

export interface ClassMean {
  readonly mean: number;
  /** How many of those that count sent no answer. */
  readonly silent: number;
}

/** null where nobody was there at the reveal. */
export function classMean(seats: readonly ClassSeat[]): ClassMean | null {
  const counted = seats.flatMap(({ answer, score }) =>
    score === null ? [] : [{ answer, total: score.total }],
  );
  if (counted.length === 0) return null;
  const mean = counted.reduce((sum, { total }) => sum + total, 0) / counted.length;
  return { mean, silent: counted.filter(({ answer }) => answer === null).length };
}
