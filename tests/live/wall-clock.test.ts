/**
 * The wall clock jumps inside a hold, as when a machine learns the time of day: libfaketime moves it for the
 * real process, and leaves the monotonic clock alone, as a kernel does.
 */
import { renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, type TestContext, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { type BenchProcess, freshFolder, runToEnd, startBench } from '../helpers/bench-process.ts';
import { postStep, Stream } from '../helpers/outside-view.ts';
import { requireTool } from '../interop/outside-tools.ts';

const RIG = join(packageRoot(), 'tests/live/quick.rig.yaml');
const HOLD_MS = 20_000;
const HOUR_S = 3600;
/** Of bench time, beyond the hold: rest of the compressors, proof of the fan and what a busy machine takes. */
const LATE_MS_MAX = 120_000;

/** A wall clock of its own for one process, so many seconds from ours. */
function wallClock() {
  const file = join(freshFolder(), 'offset');
  const jumpTo = (offsetS: number): void => {
    // Whoever reads it in between finds the one or the other.
    writeFileSync(`${file}.next`, `${offsetS < 0 ? '' : '+'}${offsetS}\n`);
    renameSync(`${file}.next`, file);
  };
  jumpTo(0);
  const env = {
    // The loader knows the library's folder on this machine.
    LD_PRELOAD: '/usr/$LIB/faketime/libfaketimeMT.so.1',
    FAKETIME_TIMESTAMP_FILE: file,
    FAKETIME_NO_CACHE: '1',
    FAKETIME_DONT_FAKE_MONOTONIC: '1',
    DONT_FAKE_MONOTONIC: '1',
  };
  return { env, jumpTo };
}

/** How far the wall clock was from ours when an event was written, to the nearest hour. */
function hoursOff(time: string): number {
  return Math.round((Date.parse(time) - Date.now()) / (HOUR_S * 1000)) + 0;
}

async function watched(bench: BenchProcess, { onTestFinished }: TestContext): Promise<Stream> {
  onTestFinished(() => void bench.child.kill('SIGKILL'));
  const stream = new Stream(bench.page);
  onTestFinished(() => {
    stream.close();
  });
  await postStep(bench.page, { call: { cooling: 'on' } });
  return stream;
}

test.concurrent('a jump of the wall clock in a hold, an hour on or an hour back, makes it no shorter and no longer', async (context) => {
  await requireTool(context, 'faketime');
  const { env, jumpTo } = wallClock();
  const data = freshFolder();
  const bench = await startBench(
    ['serve', RIG, '--speed', '10', '--data', data, '--bus', 'tcp://127.0.0.1:0'],
    [],
    env,
  );
  const stream = await watched(bench, context);
  let { sequence } = await stream.next('output.changed', { output: 'compressor.a', on: true });
  for (const hours of [1, -1]) {
    await postStep(bench.page, { testGas: { at: 'coil-a', level: '60 %LFL', lasts: '2 s' } });
    const holding = await stream.next('mitigation.changed', { to: 'holding' }, sequence);
    jumpTo(hours * HOUR_S);
    const running = await stream.next(
      'mitigation.changed',
      { from: 'holding', to: 'running' },
      holding.sequence,
    );
    const heldMs = running.data.atMs - holding.data.atMs;
    expect(heldMs, `held with the clock ${hours} h off`).toBeGreaterThanOrEqual(HOLD_MS);
    expect(heldMs).toBeLessThan(HOLD_MS + LATE_MS_MAX);
    expect(hoursOff(running.time), 'its time is what the wall clock said').toBe(hours);
    ({ sequence } = await stream.next(
      'output.changed',
      { output: 'compressor.a', on: true },
      running.sequence,
    ));
  }
  const told = stream.events.map((event) => event.sequence);
  expect(told).toEqual(told.map((_, index) => index + 1));
  expect(await bench.stop()).toBe(130);
  expect(await runToEnd(['record', 'verify', '--data', data])).toMatchObject({ code: 0 });
});

test.concurrent('a kill in a hold, and a wall clock an hour on at the next start, is no end of it', async (context) => {
  await requireTool(context, 'faketime');
  const { env, jumpTo } = wallClock();
  const args = ['serve', RIG, '--speed', '10', '--data', freshFolder(), '--bus', 'tcp://127.0.0.1:0'];
  const bench = await startBench(args, [], env);
  const stream = await watched(bench, context);
  const cooling = await stream.next('output.changed', { output: 'compressor.a', on: true });
  await postStep(bench.page, { testGas: { at: 'coil-a', level: '60 %LFL', lasts: '2 s' } });
  await stream.next('mitigation.changed', { to: 'holding' }, cooling.sequence);
  await bench.stop('SIGKILL');
  jumpTo(HOUR_S);
  const again = await watched(await startBench(args, [], env), context);
  const started = await again.next('supervisor.started', { state: 'holding' });
  expect(hoursOff(started.time)).toBe(1);
  const running = await again.next(
    'mitigation.changed',
    { from: 'holding', to: 'running' },
    started.sequence,
  );
  expect(running.data.atMs - started.data.atMs).toBeGreaterThanOrEqual(HOLD_MS);
});
