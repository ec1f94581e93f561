/**
 * A day of bench time at speed 20 over real sockets, cut to what fits: LEAKBENCH_MINUTES of real time, 20
 * unless told otherwise, with drills one after the other. What the process holds may not grow with time.
 */
import { setTimeout } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { freshFolder, startBench } from '../helpers/bench-process.ts';
import { figuresOf, total } from '../helpers/load/figures.ts';
import { call } from '../helpers/outside-view.ts';

const MINUTES = Number(process.env['LEAKBENCH_MINUTES'] ?? 20);
const MINUTE_MS = 60_000;
const QUARTERS = 4;
const DRILLS = ['test-gas-coil-a', 'one-falls-silent', 'fan-dead', 'lossy-wire', 'ordinary-day'];
/**
 * Between the first quarter and the last: compiled code, pages of the database, what the allocator keeps. A
 * process that kept its events, some 400 bytes of each, would grow by more within an hour.
 */
const GROWTH_MB_MAX = 40;

interface Held {
  readonly rssMb: number;
  readonly polls: number;
  readonly events: number;
}

async function heldBy(page: string): Promise<Held> {
  const figures = await figuresOf(page);
  return {
    rssMb: Math.round(total(figures, 'process_resident_memory_bytes') / 1e6),
    polls: total(figures, 'leakbench_polls_total'),
    events: total(figures, 'leakbench_record_last_sequence'),
  };
}

test('a bench that runs on holds no more than it did', {
  timeout: (MINUTES + 10) * MINUTE_MS,
  retry: 0,
}, async () => {
  const data = freshFolder();
  const bench = await startBench(['serve', '--speed', '20', '--data', data, '--bus', 'tcp://127.0.0.1:0']);
  const held: Held[] = [];
  for (let quarter = 0; quarter < QUARTERS; quarter += 1) {
    for (const id of DRILLS) {
      await call(bench.page, 'drill', { id });
      await setTimeout((MINUTES * MINUTE_MS) / QUARTERS / DRILLS.length);
    }
    held.push(await heldBy(bench.page));
    console.log(`quarter ${quarter + 1}:`, JSON.stringify(held.at(-1)));
  }
  expect(await bench.stop()).toBe(130);
  const [first, last] = [held[0], held.at(-1)];
  if (first === undefined || last === undefined) throw new Error('nothing was measured');
  expect(last.polls).toBeGreaterThan(first.polls * 2);
  expect(last.rssMb - first.rssMb).toBeLessThan(GROWTH_MB_MAX);
});
