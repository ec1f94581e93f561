/** A drill over real sockets whose controller is elsewhere, and here does no more than ask once. */
import { readFileSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { pino } from 'pino';
import { expect, test } from 'vitest';
import { type Drill, drillOn, readDrillText } from '../../sim/drill/index.ts';
import { judgedRun } from '../../src/app/drill/judged-run.ts';
import { runLive } from '../../src/app/drill/live-run.ts';
import type { DrillVerdict } from '../../src/app/report/verdict.ts';
import { freshFolder } from '../helpers/bench-process.ts';
import { demoRig } from '../helpers/demo.ts';
import { ask } from '../helpers/outside-view.ts';
import { freePort } from '../helpers/redis.ts';

const READ_STATE = { kind: 'read', functionCode: 4, address: 0, quantity: 1 } as const;
const CUT = `drill: 1
name: mine
rig: any
length: 5 s
rules: [fire]
steps:
  - { at: 1 s, fire: on }
  - { at: 2 s, power: { to: controller, cut: 1 s } }
`;

function drillOf(text: string): Drill {
  const read = readDrillText('mine', text);
  const outcome = read.ok ? drillOn({ ...demoRig(), file: 'any' }, 'mine', read.value) : read;
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.value;
}

function played(
  drill: Drill,
  {
    controllerPower,
    waitMs,
    listening,
    port = 0,
  }: Pick<Parameters<typeof runLive>[1], 'controllerPower' | 'waitMs' | 'listening'> & { port?: number },
) {
  return runLive(drill, {
    ...{ seed: 1, speed: 20, controller: 'external', controllerPower, waitMs },
    bus: new Map([['main', { kind: 'tcp', host: '127.0.0.1', port }]]),
    log: pino({ level: 'silent' }),
    listening,
  });
}

async function drilled(controllerPower: string | undefined): Promise<DrillVerdict> {
  const drill = drillOf(CUT);
  const listening = ([address = '']: readonly string[]): void =>
    void ask(Number(address.split(':').at(-1)), 11, READ_STATE);
  const run = await played(drill, { controllerPower, waitMs: 60_000, listening });
  const by = { seed: 1, controller: 'external', host: 'live', liveOptions: [] } as const;
  return judgedRun(drill, run, by);
}

test('a power step that nobody here can do is no verdict', async () => {
  const { verdict, shortfall, leftOut, rules } = await drilled(undefined);
  expect(rules).toMatchObject([{ id: 'fire', result: 'held' }]);
  expect({ verdict, shortfall }).toEqual({ verdict: 'broken', shortfall: 'incomplete' });
  expect(leftOut).toEqual([
    'the step at 2 s was not carried out: ' +
      'skipped, since nothing here switches the controller; give --controller-power COMMAND',
  ]);
});

test('nor is one whose command fails', async () => {
  expect(await drilled('true')).toMatchObject({ verdict: 'held', leftOut: [] });
  const { verdict, leftOut } = await drilled('false');
  expect(verdict).toBe('broken');
  expect(new Set(leftOut)).toEqual(
    new Set(['the command that switches the controller failed: ended with code 1']),
  );
});

test('a controller that asks nothing is waited for as long as is said, then it is the surroundings', async () => {
  let where = '';
  const listening = ([address = '']: readonly string[]): void => {
    where = address.replace('main ', '');
  };
  const run = played(drillOf(CUT), { controllerPower: undefined, waitMs: 300, listening });
  await expect(run).rejects.toMatchObject({ exitCode: 3 });
  await expect(run).rejects.toThrow(`no controller has asked anything on ${where} within 300 ms; `);
});

/** Asks as it is switched, and writes down what came of it. */
function askingPower(port: number): { command: string; came: () => string[] } {
  const folder = freshFolder();
  const [script, file] = [join(folder, 'power.cjs'), join(folder, 'came')];
  writeFileSync(
    script,
    `const say = (what) => require('fs').appendFileSync(${JSON.stringify(file)}, process.argv[2] + ': ' + what + '\\n');
     const socket = require('net').connect(${port}, '127.0.0.1');
     socket.on('error', () => say('refused')).once('data', () => (say('answered'), socket.destroy()));
     socket.write(Buffer.from('0001000000060b0400000001', 'hex'));`,
  );
  const came = (): string[] => readFileSync(file, 'utf8').trimEnd().split('\n');
  return { command: `${process.execPath} ${script}`, came };
}

test('what a controller still asks as it is switched off reaches no drill', async () => {
  const port = await freePort();
  const { command, came } = askingPower(port);
  const drill = drillOf(CUT.replace(/ {2}- .*cut.*/u, ''));
  await played(drill, { controllerPower: command, waitMs: 60_000, listening: () => undefined, port });
  expect(came()).toEqual(['off: refused', 'on: answered']);
});

test('one that was switched off for a line that cannot be opened is switched on again', async () => {
  const taken = createServer().listen(0, '127.0.0.1');
  await new Promise((resolve) => taken.once('listening', resolve));
  const { port } = taken.address() as { port: number };
  const file = join(freshFolder(), 'switched');
  const controllerPower = `>>'${file}' printf '%s '`;
  const run = played(drillOf(CUT), { controllerPower, waitMs: 60_000, listening: () => undefined, port });
  await expect(run).rejects.toMatchObject({ exitCode: 3 });
  expect(readFileSync(file, 'utf8')).toBe('off on ');
  taken.close();
});
