/** A drill over real sockets whose controller is elsewhere, and here does no more than ask once. */
import { pino } from 'pino';
import { expect, test } from 'vitest';
import { type Drill, drillOn, readDrillText } from '../../sim/drill/index.ts';
import { judgedRun } from '../../src/app/drill/judged-run.ts';
import { runLive } from '../../src/app/drill/live-run.ts';
import type { DrillVerdict } from '../../src/app/report/verdict.ts';
import { demoRig } from '../helpers/demo.ts';
import { ask } from '../helpers/outside-view.ts';

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
  }: Pick<Parameters<typeof runLive>[1], 'controllerPower' | 'waitMs' | 'listening'>,
) {
  return runLive(drill, {
    ...{ seed: 1, speed: 20, controller: 'external', controllerPower, waitMs },
    bus: new Map([['main', { kind: 'tcp', host: '127.0.0.1', port: 0 }]]),
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
