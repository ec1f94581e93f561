/**
 * An error that nobody expected, in a process that commands equipment, and a process that is stopped and goes on:
 * neither may leave anything running on what it knew before. The errors come from a module that Node loads first.
 */
import { afterAll, expect, test } from 'vitest';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';
import { call, postStep, Stream } from '../helpers/outside-view.ts';

const RIG = 'tests/live/quick.rig.yaml';
/** As that rig has it. */
const HOLD_MS = 20_000;
const FAILED = 70;
const closers: (() => unknown)[] = [];

afterAll(async () => {
  for (const close of closers.splice(0).reverse()) await close();
});

/** At SIGUSR2, so that the test says when. */
function bug(script: string): string[] {
  const text = `process.on('SIGUSR2', () => { ${script} });`;
  return [`--import=data:text/javascript,${encodeURIComponent(text)}`];
}

async function start(args: readonly string[], nodeOptions: readonly string[] = []): Promise<BenchProcess> {
  const bench = await startBench([...args, '--speed', '20'], nodeOptions);
  closers.push(() => bench.stop('SIGKILL'));
  return bench;
}

function watch(bench: BenchProcess, after = 0): Stream {
  const stream = new Stream(bench.page, after);
  closers.push(() => {
    stream.close();
  });
  return stream;
}

interface Pair {
  /** Of the sensors' process. */
  readonly page: string;
  readonly world: Stream;
  readonly supervise: (nodeOptions?: readonly string[]) => Promise<BenchProcess>;
}

/** Sensors and equipment with a call for cooling; the supervisor comes when it is asked for. */
async function pair(): Promise<Pair> {
  const sim = await start(['sim', RIG, '--data', freshFolder(), '--bus', 'tcp://127.0.0.1:0']);
  await postStep(sim.page, { call: { cooling: 'on' } });
  const bus = `tcp://127.0.0.1:${sim.lines['main'] ?? 0}`;
  const record = freshFolder();
  return {
    page: sim.page,
    world: watch(sim),
    supervise: (nodeOptions) => start(['supervise', RIG, '--data', record, '--bus', bus], nodeOptions),
  };
}

test.concurrent.each([
  ['throws', "throw new Error('a bug')"],
  ['rejects', "void Promise.reject(new Error('a bug'))"],
])('an error that nobody catches leaves it safe and ends the process: it %s', async (_, script) => {
  const { world, supervise } = await pair();
  const supervisor = await supervise(bug(script));
  const runs = await world.next('output.changed', { output: 'compressor.b', on: true });
  expect(await supervisor.stop('SIGUSR2')).toBe(FAILED);
  await world.next('output.changed', { output: 'compressor.b', on: false }, runs.sequence);
  await world.next('output.changed', { output: 'damper', on: true });

  const mind = watch(await supervise());
  const failed = await mind.next('supervisor.failed', { error: 'a bug', leftSafe: true });
  await mind.next('supervisor.started', { state: 'holding' }, failed.sequence);
  // It was told to be off; nobody had to wait for the field I/O to find out.
  const off = world.events.find(
    ({ sequence, type }) => sequence > runs.sequence && type === 'leakbench.watchdog.expired',
  );
  const stopped = await world.next('output.changed', { output: 'compressor.b', on: false }, runs.sequence);
  expect(off?.sequence ?? Number.POSITIVE_INFINITY).toBeGreaterThan(stopped.sequence);
});

test.concurrent('a process that was stopped for a while begins a whole hold when it goes on', async () => {
  const { page, world, supervise } = await pair();
  const supervisor = await supervise();
  const runs = await world.next('output.changed', { output: 'compressor.b', on: true });
  supervisor.child.kill('SIGSTOP');
  const dropped = await world.next('watchdog.expired', {}, runs.sequence);
  // Longer than anybody may go unasked, and than a hold.
  await new Promise((resolve) => setTimeout(resolve, (1.5 * HOLD_MS) / 20));
  const { nowMs } = await call<{ nowMs: number }>(page, 'now');
  supervisor.child.kill('SIGCONT');
  const served = await world.next('output.changed', { output: 'compressor.a', on: true }, dropped.sequence);
  expect(served.data.atMs - nowMs).toBeGreaterThanOrEqual(HOLD_MS);
});
