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
export type Done = z.infer<typeof doneSchema>;

/** Carries a change out; a refusal becomes a problem with its own sentence. */
export async function outcomeOf(
  record: EventRecord,
  change: () => StepResult | Promise<StepResult>,
): Promise<Done> {
  const sequence = record.lastSequence();
  const result = await change();
  if (!result.ok) throw new Problem('step-refused', result.problem);
  return { sequence };
}
