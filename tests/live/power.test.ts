/** Power steps on the whole bench: the built-in controller, the rig, one sensor. */
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';
import { ask, postStep, Stream } from '../helpers/outside-view.ts';

let bench: BenchProcess;
let stream: Stream;

beforeAll(async () => {
  bench = await startBench(['serve', '--speed', '20', '--data', freshFolder(), '--bus', 'tcp://127.0.0.1:0']);
  stream = new Stream(bench.page);
  await postStep(bench.page, { call: { cooling: 'on' } });
  await stream.next('output.changed', { output: 'compressor.b', on: true });
});

afterAll(async () => {
  stream.close();
  await bench.stop();
});

test('a controller that lost its power comes back in the hold, and meanwhile the watchdog acts', async () => {
  const from = stream.events.at(-1)?.sequence ?? 0;
  await postStep(bench.page, { power: { to: 'controller', cut: '10 s' } });
  const cut = await stream.next('power.cut', { to: 'controller' }, from);
  await stream.next('watchdog.expired', {}, cut.sequence);
  await stream.next('output.changed', { output: 'compressor.a', on: false }, cut.sequence);
  const restored = await stream.next('power.restored', { to: 'controller' }, cut.sequence);
  await stream.next('supervisor.started', { state: 'holding' }, restored.sequence);
});

test('a rig without power answers nothing; powered again, its sensors warm up', async () => {
  const from = stream.events.at(-1)?.sequence ?? 0;
  await postStep(bench.page, { power: { to: 'rig', cut: '10 s' } });
  await stream.next('power.cut', { to: 'rig' }, from);
  const readState = { kind: 'read', functionCode: 4, address: 0, quantity: 1 } as const;
  expect(await ask(bench.lines['main'] ?? 0, 11, readState, 200)).toBeNull();
  const restored = await stream.next('power.restored', { to: 'rig' }, from);
  const started = await stream.next('supervisor.started', {}, restored.sequence);
  await stream.next('hazard.raised', { hazard: 'notSelfTested', subject: 'coil-a' }, started.sequence);
});

test('a command that hangs as it switches the controller keeps nobody’s bench from its end', async () => {
  const hangs = ['--controller-power', 'sleep 600; true', '--bus', 'tcp://127.0.0.1:0'];
  const sim = await startBench(['sim', '--data', freshFolder(), ...hangs]);
  onTestFinished(() => void sim.child.kill('SIGKILL'));
  const said: string[] = [];
  sim.child.stderr?.on('data', (chunk: Buffer) => said.push(chunk.toString()));
  await postStep(sim.page, { power: { to: 'controller', cut: '10 s' } });
  expect(await sim.stop('SIGTERM')).toBe(130);
  expect(said.join('')).toContain('did not end before the bench: it was killed');
});
