/** Live: the requests of a task on its bus, and the last write of a supervisor that ends. */
import { performance } from 'node:perf_hooks';
import type { Outcome } from '../poll/index.ts';
import { Asking } from './asking.ts';
import type { BusClient } from './bus.ts';
import type { Addressed, SupervisorPlan } from './plan.ts';
import type { Words } from './understand.ts';

/**
 * Asks all that a task has to ask. A process that was stopped in the middle asks no more: the rest is of
 * another time, and a command may not hold now.
 */
export async function performAll(
  bus: BusClient | undefined,
  requests: readonly Addressed[],
  timeoutMs: number,
  isLate: () => boolean,
): Promise<Outcome<Words>> {
  if (bus === undefined) throw new Error('a line without a bus');
  const asking = new Asking(requests);
  for (let next = asking.next; next !== undefined; next = asking.next) {
    if (isLate()) return { kind: 'silent' };
    asking.heard(await bus.perform(next.unitId, next.request, timeoutMs));
  }
  return asking.outcome;
}

/** Where the last write goes, and how often it is tried: as often as that line asks. */
export function lastWriteOn({ lines }: SupervisorPlan): { readonly line: number; readonly tries: number } {
  const line = lines.findIndex(({ fieldIo }) => fieldIo);
  return { line, tries: (lines[line]?.retries ?? 0) + 1 };
}

/**
 * Nobody reads back what the last write left, so it goes out until it is answered: `tries` times at most,
 * none of them begun after so much real time. False where nobody knows what runs.
 */
export async function writeLast(
  write: () => Promise<Outcome<Words>>,
  tries: number,
  withinMs: number,
): Promise<boolean> {
  const untilMs = performance.now() + withinMs;
  for (let tried = 0; tried < tries; tried += 1) {
    const outcome = await write();
    if (outcome.kind === 'answered') return true;
    if (performance.now() >= untilMs) return false;
  }
  return false;
}
