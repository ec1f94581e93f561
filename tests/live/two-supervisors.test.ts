/** Two supervisors with a record each on one field I/O: no lock knows of it, and reading back finds it out. */
import { afterAll, expect, test } from 'vitest';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';
import { postStep, Stream } from '../helpers/outside-view.ts';

const RIG = 'tests/live/quick.rig.yaml';
/** As that rig has it. */
const MIN_OFF_MS = 15_000;
const closers: (() => unknown)[] = [];

afterAll(async () => {
  for (const close of closers.splice(0).reverse()) await close();
});

async function start(...args: string[]): Promise<BenchProcess> {
  const bench = await startBench([...args, RIG, '--speed', '20', '--data', freshFolder()]);
  closers.push(() => bench.stop('SIGKILL'));
  return bench;
}

function watch(bench: BenchProcess): Stream {
  const stream = new Stream(bench.page);
  closers.push(() => {
    stream.close();
  });
  return stream;
}

test('is told by both, and both stop', async () => {
  const sim = await start('sim', '--bus', 'tcp://127.0.0.1:0');
  const bus = `tcp://127.0.0.1:${sim.lines['main'] ?? 0}`;
  const world = watch(sim);
  await postStep(sim.page, { call: { cooling: 'on' } });
  const first = watch(await start('supervise', '--bus', bus));
  await world.next('output.changed', { output: 'compressor.b', on: true });
  const second = watch(await start('supervise', '--bus', bus));
  const told = { hazard: 'commandsOverwritten', subject: 'fieldIo' };
  const found = await Promise.all([first, second].map((one) => one.next('hazard.raised', told)));
  for (const { data } of found) expect(data.text).toContain('something else writes to this field I/O');
  // Whoever has found out holds its compressors off for their time.
  for (const [index, one] of [first, second].entries()) {
    const { sequence, data } = found[index] ?? expect.unreachable();
    const on = await one.next('command.changed', { output: 'compressor.a', on: true }, sequence);
    expect(on.data.atMs - data.atMs).toBeGreaterThanOrEqual(MIN_OFF_MS);
  }
});
