/** A burst of events into a record, and what came of it: how late they were for those who read. */
import { setTimeout } from 'node:timers/promises';
import type { Fact } from '../../../src/events/index.ts';
import type { EventRecord } from '../../../src/record/index.ts';

const EVERY_MS = 10;
const S = 1000;

export interface Burst {
  readonly perSecond: number;
  readonly seconds: number;
  readonly fact: (atMs: number) => Fact;
}

/** Stores so many events a second, some every few milliseconds; gives the rate that was reached. */
export async function burst(record: EventRecord, { perSecond, seconds, fact }: Burst): Promise<number> {
  const total = perSecond * seconds;
  const began = performance.now();
  let stored = 0;
  while (stored < total) {
    const due = Math.min(total, Math.ceil(((performance.now() - began) / S) * perSecond));
    if (due > stored) record.append(Array.from({ length: due - stored }, (_, index) => fact(stored + index)));
    stored = Math.max(stored, due);
    await setTimeout(EVERY_MS);
  }
  return (total / (performance.now() - began)) * S;
}

/** The value below which a share of all lies. */
export function percentile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? Number.NaN;
}
