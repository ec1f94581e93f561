/**
 * Every shipped drill, live at speed 20 over real sockets and in virtual time: the same verdict, and signal by
 * signal the same changes in the same order, their times within two polls.
 */
import pino from 'pino';
import { describe, expect, test } from 'vitest';
import { judge } from '../../sim/judge/index.ts';
import { judgedPolicy } from '../../src/app/drill/judged-policy.ts';
import { runLive } from '../../src/app/drill/live-run.ts';
import { runBuiltIn } from '../../src/app/drill/run.ts';
import { differences } from '../helpers/drill-signals.ts';
import { SHIPPED, shippedDrill } from '../helpers/shipped-drills.ts';

const SEED = 1;

/** What chance decides falls differently where requests come at other moments. */
const BY_CHANCE = ['lossy-wire'];

describe('live and virtual agree', () => {
  test.concurrent.each(SHIPPED)('%s', { timeout: 240_000 }, async (name) => {
    const drill = shippedDrill(name);
    const virtual = runBuiltIn(drill, SEED);
    const live = await runLive(drill, {
      seed: SEED,
      speed: 20,
      bus: new Map(drill.rig.lines.map(({ id }) => [id, { host: '127.0.0.1', port: 0 }])),
      controller: 'builtin',
      controllerPower: undefined,
      log: pino({ level: 'silent' }),
      listening: () => undefined,
    });
    const results = [virtual, live].map(({ trace }) =>
      judge(trace, judgedPolicy(drill.rig), drill.rules).map(({ id, result }) => `${id} ${result}`),
    );
    expect(results[1]).toEqual(results[0]);
    if (!BY_CHANCE.includes(name)) expect(differences(virtual.trace, live.trace)).toEqual([]);
  });
});
