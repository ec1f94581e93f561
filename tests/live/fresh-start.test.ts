/** A fresh start over real sockets: what stays, what is new, and what a kill right after it leads to. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { RigView } from '../../src/api/rig-view-schema.ts';
import type { Snapshot } from '../../src/api/snapshot-schema.ts';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';
import { call, Stream } from '../helpers/outside-view.ts';
import { frame, framesOf, rawClient } from '../sim/wire/raw-client.ts';

const ANYWHERE = ['--bus', 'tcp://127.0.0.1:0'];
/** State and status bits of coil-a. */
const ASK_COIL_A = [11, 0x04, 0, 0, 0, 2] as const;
const TWO_REGISTERS = 7 + 6;

const data = freshFolder();
let bench: BenchProcess;
let stream: Stream;

beforeAll(async () => {
  bench = await startBench(['serve', '--speed', '20', '--data', data, ...ANYWHERE]);
  stream = new Stream(bench.page);
});

afterAll(async () => {
  stream.close();
  await bench.stop();
});

const now = (): Promise<Snapshot> => call<Snapshot>(bench.page, 'now');

test('makes all new behind the same faces, while bench time goes on', async () => {
  const line = await rawClient(bench.lines['main'] ?? 0);
  line.send(frame(1, ...ASK_COIL_A));
  await line.read(TWO_REGISTERS);
  const done: readonly object[] = [
    { call: { cooling: 'on' } },
    { release: { at: 'cabinet', rate: '50 g/s' } },
    { fault: { in: 'coil-b', kind: 'silent' } },
    { power: { to: 'grille', cut: 'stays' } },
    { power: { to: 'controller', cut: 'stays' } },
  ];
  for (const step of done) await call(bench.page, 'steps', step);
  let before = await now();
  // The controller ends as soon as its last question is over.
  while (before.supervisor !== null) before = await now();
  expect(before.world?.chargeLeftKg).toBeLessThan(4.2);

  const { sequence } = await call<{ sequence: number }>(bench.page, 'restart', {});
  const after = await now();
  expect(after.nowMs).toBeGreaterThanOrEqual(before.nowMs);
  expect(after.world).toMatchObject({
    cabinet: 0,
    releaseGPerS: 0,
    chargeLeftKg: 4.2,
    calls: { cooling: false, heating: false, fan: false },
    unpowered: [],
  });
  for (const sensor of Object.values(after.world?.sensors ?? {}))
    expect(sensor).toMatchObject({ gas: 0, powered: true, faults: [] });
  expect(after.drill).toBeNull();

  const reset = await stream.next('bench.reset', {}, sequence);
  const started = await stream.next('supervisor.started', { state: 'starting' }, reset.sequence);
  expect(started.data.text).toContain('afresh');
  await stream.next('mitigation.changed', { to: 'running' }, started.sequence);
  line.send(frame(2, ...ASK_COIL_A));
  expect(framesOf(await line.read(TWO_REGISTERS))[0]?.slice(0, 3)).toEqual([2, 11, 0x04]);
  line.socket.destroy();
});

test('counts the wire anew, and shows what comes of each request as it is', async () => {
  await call(bench.page, 'restart', {});
  const reset = stream.events.findLast(({ type }) => type === 'leakbench.bench.reset');
  await call(bench.page, 'steps', { fault: { in: 'coil-b', kind: 'silent' } });
  await stream.next('hazard.raised', { hazard: 'silent', subject: 'coil-b' }, reset?.sequence);
  const { wire, nowMs } = await now();
  const polls = await call<{ sinceMs: number }>(bench.page, 'poll-report');
  expect(polls.sinceMs).toBeGreaterThanOrEqual(reset?.data.atMs ?? Number.POSITIVE_INFINITY);
  expect(wire?.units.map(({ name, line, unitId }) => [name, line, unitId])).toEqual([
    ['coil-a', 'main', 11],
    ['coil-b', 'main', 12],
    ['fieldIo', 'main', 200],
  ]);
  const [coilA, coilB] = wire?.units ?? [];
  expect(coilA?.recent.some(({ outcome }) => outcome === 'answered')).toBe(true);
  expect(coilB?.recent.some(({ outcome }) => outcome === 'silent')).toBe(true);
  for (const unit of wire?.units ?? []) {
    const moments = unit.recent.map(({ atMs }) => atMs);
    expect(moments).toEqual(moments.toSorted((a, b) => a - b));
    expect(moments.at(-1)).toBeLessThanOrEqual(nowMs);
  }
});

test('every fault that the rig describes is taken with the values it names, on a part that it fits', async () => {
  await call(bench.page, 'restart', {});
  const rig = await call<RigView>(bench.page, 'rig');
  const parts: Readonly<Record<string, string>> = {
    sensor: 'coil-a',
    contact: 'grille',
    compressor: 'compressor.a',
    output: 'output.fan',
  };
  const posted: string[] = [];
  for (const { kind, targets, parameters } of rig.faultKinds) {
    const [target = ''] = targets;
    const subject = parts[target] ?? target;
    const values = parameters.map(({ name, example, choices }) => {
      const value = example ?? choices?.find((one) => one !== subject);
      return [name, Number.isNaN(Number(value)) ? value : Number(value)] as const;
    });
    await call(bench.page, 'steps', { fault: { in: subject, kind, ...Object.fromEntries(values) } });
    await call(bench.page, 'steps', { mend: { in: subject } });
    posted.push(kind);
  }
  expect(posted.length).toBeGreaterThan(35);
  for (const { choices, name } of rig.faultKinds.flatMap(({ parameters }) => parameters))
    if (name === 'with') expect(choices).toEqual(['coil-a', 'coil-b']);
  expect(rig.places).toEqual(['cabinet', 'room-low', 'room-high']);
  expect(rig.sensors.map(({ serial, unitId, line }) => [serial, unitId, line])).toEqual([
    ['240811', 11, 'main'],
    ['240812', 12, 'main'],
    [null, null, null],
  ]);
});

test('the clock goes on to the next event and stands still there, at the speed of before', async () => {
  await call(bench.page, 'restart', {});
  await call(bench.page, 'clock', { paused: true, speed: 2 });
  await call(bench.page, 'steps', { fault: { in: 'coil-a', kind: 'silent' } });
  // What the step itself told is on record before the clock goes on.
  const reset = stream.events.findLast(({ type }) => type === 'leakbench.bench.reset');
  await stream.next('fault.injected', { in: 'coil-a', kind: 'silent' }, reset?.sequence);
  const { sequence } = await call<{ sequence: number }>(bench.page, 'clock', { toNextEvent: true });
  const stood = await stream.next('clock.changed', { paused: true, speed: 2 }, sequence);
  expect(await now()).toMatchObject({ paused: true, speed: 2, stepping: false });
  const told = stream.events.filter(({ sequence: at }) => at > sequence && at < stood.sequence);
  const [went, ...others] = told.filter(({ data }) => data.severity !== 'trace');
  expect(went?.data.fields).toEqual({ speed: 20, paused: false });
  expect(others.length).toBeGreaterThan(0);
  await call(bench.page, 'clock', { paused: false, speed: 20 });
});

test('stops nothing in order: a process that is killed right after it begins in the hold', async () => {
  await call(bench.page, 'restart', {});
  expect(stream.events.filter(({ type }) => type === 'leakbench.supervisor.stopped')).toEqual([]);
  await bench.stop('SIGKILL');
  stream.close();
  bench = await startBench(['serve', '--speed', '20', '--data', data, ...ANYWHERE]);
  stream = new Stream(bench.page);
  const starts = await stream.next('supervisor.started', { state: 'holding' });
  expect(starts.data.text).toContain('unknown');
});
