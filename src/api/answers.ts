/** What the routes of the API share: how they answer a change. */
import { z } from 'zod';
import type { EventRecord } from '../record/index.ts';
import type { StepResult } from './bench-port.ts';
import { Problem } from './problems.ts';

export const NO_WIRE = 'The sensors run elsewhere; ask the process that runs them (leakbench sim or serve).';

/** Of every change to the bench: it may rule it out, and the record may take nothing. */
export const CHANGE_PROBLEMS = ['step-refused', 'record-failed'] as const;

export const doneSchema = z.object({ sequence: z.number().int() }).meta({
  id: 'Done',
  description: 'Where the record stood before: whatever comes of it is told after this sequence.',
  examples: [{ sequence: 42 }],
});
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
