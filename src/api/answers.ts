/** What the routes of the API share: how they answer a change, and what they say of trouble. */
import { z } from 'zod';
import type { EventRecord } from '../record/index.ts';
import type { StepResult } from './bench-port.ts';
import { PROBLEM_MEDIA_TYPE, Problem, problemSchema } from './problems.ts';

export const NO_WIRE = 'The sensors run elsewhere; ask the process that runs them (leakbench sim or serve).';

const problem = {
  description: 'Problem details',
  content: { [PROBLEM_MEDIA_TYPE]: { schema: problemSchema } },
};
export const problems = { '4xx': problem, '5xx': problem };

/** Where the record stood before: whatever comes of it is told after this sequence. */
export const doneSchema = z.object({ sequence: z.number().int() });
type Done = z.infer<typeof doneSchema>;

/** Carries a change out; `mustBeDone` throws the problem that its refusal is. */
export async function doneBy<Outcome>(
  record: EventRecord,
  change: () => Outcome | Promise<Outcome>,
  mustBeDone: (outcome: Outcome) => void,
): Promise<Done> {
  const sequence = record.lastSequence();
  mustBeDone(await change());
  return { sequence };
}

/** A change of the bench; a refusal becomes a problem with its own sentence. */
export function outcomeOf(
  record: EventRecord,
  change: () => StepResult | Promise<StepResult>,
): Promise<Done> {
  return doneBy(record, change, (result) => {
    if (!result.ok) throw new Problem('step-refused', result.problem);
  });
}
