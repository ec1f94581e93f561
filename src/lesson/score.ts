/**
 * What an answer is worth: a point for each of the four questions, half a point for a list that names a part
 * of what is right and nothing that is wrong.
 */
import type { CauseId } from './causes.ts';
import type { NextStepId, RestartId } from './next-steps.ts';

export interface Answer {
  readonly causes: readonly CauseId[];
  /** Parts of the rig: a sensor, `fan`, `airflow`, `compressor.a`, `line main`, `controller`, `room`. */
  readonly where: readonly string[];
  readonly next: NextStepId;
  readonly restart: RestartId;
}

export interface Solution {
  readonly causes: readonly CauseId[];
  readonly where: readonly string[];
  /** Any of these is right. */
  readonly next: readonly NextStepId[];
  readonly restart: readonly RestartId[];
}

export interface Score {
  readonly causes: number;
  readonly where: number;
  readonly next: number;
  readonly restart: number;
  readonly total: number;
}

/** The most that an answer can be worth. */
export const SCORE_MAX = 4;
const HALF = 0.5;

export function scoreOf(answer: Answer, solution: Solution): Score {
  const causes = ofList(answer.causes, solution.causes);
  const where = ofList(answer.where, solution.where);
  const next = solution.next.includes(answer.next) ? 1 : 0;
  const restart = solution.restart.includes(answer.restart) ? 1 : 0;
  return { causes, where, next, restart, total: causes + where + next + restart };
}

/**
 * One wrong name voids the list: whoever names everything finds nothing. A name twice counts once. Where
 * nothing is right, nothing named is right.
 */
function ofList(given: readonly string[], right: readonly string[]): number {
  const named = new Set(given);
  if ([...named].some((one) => !right.includes(one))) return 0;
  if (named.size === right.length) return 1;
  return named.size > 0 ? HALF : 0;
}
