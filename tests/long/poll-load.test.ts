/**
 * 32 lines of 100 sensors, each polled once a second over real sockets: the sensors in one process, the
 * supervisor in another.
 */
import { writeFileSync } from 'node:fs';
import { loadavg } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { afterEach, expect, test } from 'vitest';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';
import { figuresOf, total } from '../helpers/load/figures.ts';
import { manyLinesRig } from '../helpers/load/many-lines.ts';

const LINES = Number(process.env['LEAKBENCH_LINES'] ?? 32);
const SENSORS = 100;
const SECONDS = Number(process.env['LEAKBENCH_SECONDS'] ?? 60);
/** Until every sensor has passed its self-test and connections stand. */
const WARM_UP_MS = 15_000;
/** A cycle that began no later than this began when it was due, as timers go. */
const LATE_S = '0.1';

const running: BenchProcess[] = [];
afterEach(async () => {
  for (const bench of running.splice(0).reverse()) await bench.stop();
});

async function start(...args: string[]): Promise<BenchProcess> {
  const bench = await startBench([...args, '--data', freshFolder()]);
  running.push(bench);
  return bench;
}

test('every sensor is polled once a second, and no cycle begins late', {
  timeout: 600_000,
  retry: 0,
}, async () => {
  const rig = join(freshFolder(), 'many.rig.yaml');
  writeFileSync(rig, manyLinesRig(LINES, SENSORS));
  const sim = await start('sim', rig);
  const buses = Object.entries(sim.lines).flatMap(([line, port]) => [
    '--bus',
    `${line}=tcp://127.0.0.1:${port}`,
  ]);
  const { page } = await start('supervise', rig, ...buses);
  await setTimeout(WARM_UP_MS);
  const before = await figuresOf(page);
  await setTimeout(SECONDS * 1000);
  const after = await figuresOf(page);
  const grown = (name: string, label?: string): number =>
    total(after, name, label) - total(before, name, label);

  const seconds = grown('process_cpu_seconds_total');
  const polls = grown('leakbench_polls_total');
  const cycles = grown('leakbench_poll_lateness_seconds_count');
  const late = cycles - grown('leakbench_poll_lateness_seconds_bucket', `le="${LATE_S}"`);
  const lateS = grown('leakbench_poll_lateness_seconds_sum') / cycles;
  const tookS = grown('leakbench_poll_duration_seconds_sum') / grown('leakbench_poll_duration_seconds_count');
  console.log(
    `${Math.round(polls / SECONDS)} polls/s, ${(cycles / SECONDS / LINES).toFixed(3)} cycles a line and s, ` +
      `${late} of ${cycles} cycles over ${LATE_S} s late (mean ${(lateS * 1000).toFixed(1)} ms), ` +
      `a poll took ${(tookS * 1000).toFixed(1)} ms, ${(seconds / SECONDS).toFixed(2)} of a core, ` +
      `load ${loadavg()[0]?.toFixed(1)}`,
  );
  expect(grown('leakbench_polls_total', 'outcome="answered"')).toBe(polls);
  expect(polls).toBeGreaterThan(LINES * SENSORS);
});
