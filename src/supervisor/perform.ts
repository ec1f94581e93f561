/** Live: the requests of a task on its bus, and the last write of a supervisor that ends. */
import { performance } from 'node:perf_hooks';
import type { Outcome, Task } from '../poll/index.ts';
import { Asking } from './asking.ts';
import type { BusClient } from './bus.ts';
import { areHeld } from './field-io.ts';
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
 * Nobody comes after the last write to find it lost, so it goes out until the coils are read back as it set
 * them: `tries` times at most, none of them begun after so much real time. Its own answer is no proof: on RTU
 * the echo of the write before looks the same. False where nobody knows what runs.
 */
export async function writeLast(
  ask: (task: Task) => Promise<Outcome<Words>>,
  coils: readonly boolean[],
  tries: number,
  withinMs: number,
): Promise<boolean> {
  const untilMs = performance.now() + withinMs;
  for (let tried = 0; tried < tries; tried += 1) {
    const written = await ask({ kind: 'write' });
    const found = written.kind === 'answered' ? await ask({ kind: 'readBack' }) : written;
    if (found.kind === 'answered' && areHeld(coils, found.answer[0] ?? [])) return true;
    if (performance.now() >= untilMs) return false;
  }
  return false;
}
