/**
 * The sensors and the supervisor as two processes, joined by nothing but the wire; and a supervisor that is
 * killed in the middle of a hold, which must not shorten it.
 */
import { afterEach, expect, test } from 'vitest';
import type { Snapshot } from '../../src/api/snapshot-schema.ts';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';
import { call, postStep, readValues, Stream } from '../helpers/outside-view.ts';

const HOLD_MS = 300_000;
const RESPOND_WITHIN_MS = 15_000;
const running: BenchProcess[] = [];
const streams: Stream[] = [];

afterEach(async () => {
  for (const stream of streams.splice(0)) stream.close();
  for (const bench of running.splice(0).reverse()) await bench.stop();
});

async function start(...args: string[]): Promise<BenchProcess> {
  const bench = await startBench([...args, '--speed', '20']);
  running.push(bench);
  return bench;
}

function watch(bench: BenchProcess, after = 0): Stream {
  const stream = new Stream(bench.page, after);
  streams.push(stream);
  return stream;
}

test('two processes keep the hold, and kill -9 in it does not shorten it', async () => {
  const sim = await start('sim', '--data', freshFolder(), '--bus', 'tcp://127.0.0.1:0');
  const bus = `tcp://127.0.0.1:${sim.lines['main'] ?? 0}`;
  const record = freshFolder();
  const supervisor = await start('supervise', '--data', record, '--bus', bus);
  const world = watch(sim);
  await postStep(sim.page, { call: { cooling: 'on' } });
  const cooling = await world.next('output.changed', { output: 'compressor.b', on: true });

  await postStep(sim.page, { testGas: { at: 'coil-b', level: '40 %LFL', lasts: '20 s' } });
  const gas = await world.next('testGas.started', { at: 'coil-b' }, cooling.sequence);
  const stopped = await world.next('output.changed', { output: 'compressor.b', on: false }, gas.sequence);
  expect(stopped.data.atMs - gas.data.atMs).toBeLessThanOrEqual(3010 + RESPOND_WITHIN_MS);
  const clean = await world.next('testGas.ended', { at: 'coil-b' }, stopped.sequence);

  // A third of the hold has run when the supervisor is killed and started again at once.
  await new Promise((resolve) => setTimeout(resolve, HOLD_MS / 3 / 20));
  await supervisor.stop('SIGKILL');
  running.pop();
  const killedAtMs = await nowMs(sim);
  const again = await start('supervise', '--data', record, '--bus', bus);
  const mind = watch(again);
  const started = await mind.next('supervisor.started', { state: 'holding' });
  expect(started.data.text).toContain('unknown');

  const restarted = await world.next(
    'output.changed',
    { output: 'compressor.a', on: true },
    stopped.sequence,
  );
  expect(restarted.data.atMs - clean.data.atMs).toBeGreaterThanOrEqual(HOLD_MS);
  // What happened while nobody watched is unknown, so the hold counts anew from the restart.
  expect(restarted.data.atMs - killedAtMs).toBeGreaterThanOrEqual(HOLD_MS);
  const coils = await readValues(sim.lines['main'] ?? 0, 200, {
    kind: 'read',
    functionCode: 1,
    address: 0,
    quantity: 9,
  });
  expect(coils[0]).toBe(1);
});

test('an orderly stop leaves compressors off, and the next start does not hold', async () => {
  const sim = await start('sim', '--data', freshFolder(), '--bus', 'tcp://127.0.0.1:0');
  const bus = `tcp://127.0.0.1:${sim.lines['main'] ?? 0}`;
  const record = freshFolder();
  const supervisor = await start('supervise', '--data', record, '--bus', bus);
  const world = watch(sim);
  await postStep(sim.page, { call: { cooling: 'on' } });
  await world.next('output.changed', { output: 'compressor.b', on: true });
  expect(await supervisor.stop('SIGINT')).toBe(130);
  running.pop();
  const coils = await readValues(sim.lines['main'] ?? 0, 200, {
    kind: 'read',
    functionCode: 1,
    address: 0,
    quantity: 10,
  });
  expect(coils.slice(8)).toEqual([0, 0]);

  const again = await start('supervise', '--data', record, '--bus', bus);
  const reason = 'the last stop was orderly and nothing stood';
  await watch(again).next('supervisor.started', { state: 'starting', reason });
});

test('the clock of a supervisor alone is nobody’s to set: what it believes ages with its bus', async () => {
  const sim = await start('sim', '--data', freshFolder(), '--bus', 'tcp://127.0.0.1:0');
  const bus = `tcp://127.0.0.1:${sim.lines['main'] ?? 0}`;
  const supervisor = await start('supervise', '--data', freshFolder(), '--bus', bus);
  const mind = watch(supervisor);
  for (const change of [{ paused: true }, { paused: false }, { speed: 10 }, { toNextEvent: true }, {}]) {
    const refused = call(supervisor.page, 'clock', change);
    await expect(refused).rejects.toThrow(/422: .*supervisor alone.*same --speed/u);
  }
  const now = await call<Snapshot>(supervisor.page, 'now');
  expect(now).toMatchObject({ paused: false, speed: 20, stepping: false, world: null });
  // It goes on asking, as before.
  await postStep(sim.page, { testGas: { at: 'coil-a', level: '40 %LFL' } });
  await mind.next('hazard.raised', { hazard: 'gas', subject: 'coil-a' }, now.sequence);
  expect(mind.events.filter(({ type }) => type.endsWith('clock.changed'))).toEqual([]);
});

test('without a controller the watchdog of the field I/O ventilates', async () => {
  const sim = await start('sim', '--data', freshFolder(), '--bus', 'tcp://127.0.0.1:0');
  const world = watch(sim);
  await world.next('watchdog.expired', {});
  const fan = await world.next('output.changed', { output: 'fan', on: true });
  await world.next('output.changed', { output: 'damper', on: true });
  await world.next('airflow.changed', { proven: true }, fan.sequence);
});

async function nowMs(bench: BenchProcess): Promise<number> {
  const snapshot = (await (await fetch(`${bench.page}/api/v1/now`)).json()) as { nowMs: number };
  return snapshot.nowMs;
}
