/** A refusal of the class as a problem of the catalogue. */
import { REFUSALS, type RefusalId, type RefusalSort } from '../class/index.ts';
import type { ClassOutcome, ClassPort } from './class-port.ts';
import { Problem, type ProblemId } from './problems.ts';

const PROBLEM_OF: Readonly<Record<RefusalSort, ProblemId>> = {
  missing: 'class-missing',
  moment: 'class-conflict',
  right: 'no-hand',
  input: 'step-refused',
};
const NOT_HERE =
  'A class is held where the sensors run: ask the process that runs them (leakbench sim or serve).';

export function refusalProblem(refusal: RefusalId): Problem {
  const { sort, sentence } = REFUSALS[refusal];
  return new Problem(PROBLEM_OF[sort], sentence);
}

export function mustBeDone(outcome: ClassOutcome): void {
  if (outcome.ok) return;
  if ('refusal' in outcome) throw refusalProblem(outcome.refusal);
  throw new Problem(outcome.missing === true ? 'class-missing' : 'step-refused', outcome.problem);
}

/** The class of this process, where it can have one. */
export function classHere(classroom: ClassPort | null): ClassPort {
  if (classroom === null) throw new Problem('class-missing', NOT_HERE);
  return classroom;
}
