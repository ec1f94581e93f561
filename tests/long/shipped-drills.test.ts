/**
 * Every shipped drill and lesson, live at speed 10 over real sockets and in virtual time: the same verdict, and signal
 * by signal the same changes in the same order, their times within two polls.
 */
import pino from 'pino';
import { describe, expect, test } from 'vitest';
import type { Drill } from '../../sim/drill/index.ts';
import { judge, type Trace } from '../../sim/judge/index.ts';
import { judgedPolicy } from '../../src/app/drill/judged-policy.ts';
import { runLive } from '../../src/app/drill/live-run.ts';
import { runBuiltIn } from '../../src/app/drill/run.ts';
import { differences } from '../helpers/drill-signals.ts';
import { CASES as LESSONS } from '../helpers/lessons.ts';
import { SHIPPED, shippedDrill } from '../helpers/shipped-drills.ts';

const SEED = 1;

/** What chance decides falls differently where requests come at other moments. */
const BY_CHANCE = ['lossy-wire'];

const resultsOf = (drill: Drill, trace: Trace): readonly string[] =>
  judge(trace, judgedPolicy(drill.rig), drill.rules).map(({ id, result }) => `${id} ${result}`);

// All of them before the first live one begins: what reckons for a second holds up every bench beside it.
const DRILLS = [
  ...SHIPPED.map((name) => ({ name, drill: shippedDrill(name) })),
  ...LESSONS.map(({ id, drill }) => ({ name: id, drill })),
];
const CASES = DRILLS.map(({ name, drill }) => {
  const { trace } = runBuiltIn(drill, SEED);
  return { name, drill, trace, results: resultsOf(drill, trace) };
});

describe('live and virtual agree', () => {
  test.concurrent.each(CASES)('$name', { timeout: 240_000 }, async ({ name, drill, trace, results }) => {
    const live = await runLive(drill, {
      seed: SEED,
      speed: 10,
      bus: new Map(drill.rig.lines.map(({ id }) => [id, { kind: 'tcp', host: '127.0.0.1', port: 0 }])),
      controller: 'builtin',
      controllerPower: undefined,
      waitMs: 60_000,
      log: pino({ level: 'silent' }),
      listening: () => undefined,
    });
    expect(resultsOf(drill, live.trace)).toEqual(results);
    if (!BY_CHANCE.includes(name)) expect(differences(trace, live.trace)).toEqual([]);
  });
});
