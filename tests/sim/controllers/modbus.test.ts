/** The Modbus sample as a process, on a bench that listens on TCP. */
import { type ChildProcess, spawn } from 'node:child_process';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterEach, expect, test } from 'vitest';
import { LiveWorld, type Observation, World } from '../../../sim/world/index.ts';
import { benchClock } from '../../../src/clock/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { freshFolder, nodeCommand } from './commands.ts';

const SPEED = 20;
/** A loaded machine may take this long for what a bench at speed 20 does in two. */
const WAIT_MS_MAX = 30_000;

const ends: (() => Promise<void> | void)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0)) await end();
});

async function bench() {
  const outputs = new Map<string, boolean>();
  const clock = benchClock(SPEED);
  const observe = (seen: Observation): void => {
    if (seen.kind === 'terminal') outputs.set(seen.output, seen.on);
  };
  const world = new World(demoRig(), { seed: 1, startMs: ms(0), serviceDaysLeft: () => 1000, observe });
  const live = new LiveWorld(world, clock);
  await live.listen(() => [{ kind: 'tcp', host: '127.0.0.1', port: 0 }]);
  const address = live.addresses[0]?.address;
  ends.push(() => live.close());
  ends.push(() => {
    clock.stop();
  });
  const until = async (holds: () => boolean): Promise<void> => {
    const deadlineMs = Date.now() + WAIT_MS_MAX;
    while (!holds()) {
      if (Date.now() > deadlineMs) throw new Error(`not within ${WAIT_MS_MAX} ms: ${String(holds)}`);
      await sleep(10);
    }
  };
  return {
    live,
    port: address?.kind === 'tcp' ? address.port : 0,
    is: (output: string) => outputs.get(output) === true,
    until,
  };
}

function controller(port: number, state: string): ChildProcess {
  const policy = JSON.stringify({ holdMs: 30_000, compressorMinOffMs: 5000, silentAfterMs: 10_000 });
  const args = ['--bus', `tcp://127.0.0.1:${port}`, '--speed', String(SPEED), '--state', state];
  const sensors = ['coil-a=11:240811', 'coil-b=12:240812', 'grille=input8'];
  const [node = '', file = ''] = nodeCommand('modbus').split(' ');
  const child = spawn(node, [file, ...args, '--policy', policy, ...sensors], { stdio: 'inherit' });
  ends.unshift(() => void child.kill('SIGKILL'));
  return child;
}

test('cools when called, mitigates gas, remembers it over its own end, and cools again after the hold', async () => {
  const { live, port, is, until } = await bench();
  const state = freshFolder();
  const first = controller(port, state);
  live.apply({ kind: 'call', calls: { cooling: true } });
  await until(() => is('fan') && is('compressor.a') && is('compressor.b'));
  live.apply({ kind: 'testGas', sensor: 'coil-b', percentLfl: 40, lastsMs: null });
  await until(() => is('alarm') && is('fan') && is('damper') && !is('compressor.a') && !is('compressor.b'));

  first.kill('SIGKILL');
  live.apply({ kind: 'endTestGas', sensor: 'coil-b' });
  await sleep(1000);
  const beganMs = Date.now();
  controller(port, state);
  await until(() => is('compressor.a'));
  expect(Date.now() - beganMs).toBeGreaterThanOrEqual(30_000 / SPEED);
});
