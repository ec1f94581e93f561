/** A supervisor that dies in a live drill: what it did not live to do is not held. */
import pino from 'pino';
import { expect, test } from 'vitest';
import { judgedRun } from '../../src/app/drill/judged-run.ts';
import { runLive } from '../../src/app/drill/live-run.ts';
import { ms } from '../../src/units/index.ts';
import { demoRig, stepFor } from '../helpers/demo.ts';
import { shippedDrill } from '../helpers/shipped-drills.ts';

test('a drill whose supervisor ended on an error of its own is broken, and says why', async () => {
  const rig = demoRig();
  let counting = false;
  const latchAfter = {
    trips: 3,
    /** Looked at when it starts and at each trip: a bug in the latter. */
    get withinMs() {
      if (counting) throw new Error('a bug');
      return ms(60_000);
    },
  };
  const gas = stepFor(rig, { testGas: { at: 'grille', level: '40 %LFL' } });
  const drill = {
    ...shippedDrill('lossy-wire'),
    rig: { ...rig, policy: { ...rig.policy, latchAfter } },
    lengthMs: ms(20_000),
    steps: [{ atMs: ms(3000), step: gas }],
    rules: ['ask'] as const,
  };
  const failed: string[] = [];
  const log = pino({ level: 'fatal' }, { write: (line) => failed.push(line) });
  const run = await runLive(drill, {
    seed: 1,
    speed: 20,
    controller: 'builtin',
    controllerPower: undefined,
    waitMs: 60_000,
    log,
    bus: new Map(rig.lines.map(({ id }) => [id, { kind: 'tcp', host: '127.0.0.1', port: 0 }])),
    listening: () => {
      setTimeout(() => {
        counting = true;
      });
    },
  });
  expect(failed.join('')).toContain('a bug');
  expect(run.trouble).toEqual(['the supervisor ended on an error of its own: the log says which']);
  counting = false;
  const by = { seed: 1, controller: 'builtin', host: 'live', liveOptions: [] } as const;
  expect(judgedRun(drill, run, by).verdict).toBe('broken');
});
