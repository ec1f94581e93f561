/** The clock of a whole bench is set after that is on record, and not where it cannot be. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pino from 'pino';
import { expect, onTestFinished, test } from 'vitest';
import type { Bench } from '../../../src/app/bench.ts';
import { Failure } from '../../../src/app/failure.ts';
import { type Closers, startBench } from '../../../src/app/start-bench.ts';
import { benchClock } from '../../../src/clock/index.ts';
import { openRecord, RecordError } from '../../../src/record/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { meddle } from '../record/meddle.ts';

interface OnRecord {
  readonly bench: Bench;
  readonly failures: readonly unknown[];
  /** The record takes no change of the clock, or takes it again. */
  readonly refuse: () => void;
  readonly take: () => void;
  /** Speed and pause by the newest fact, and as they are. */
  readonly told: () => unknown;
  readonly set: () => unknown;
}

/** The sensors alone: no controller asks, so that nothing happens by itself between two lines of a test. */
async function begun(): Promise<OnRecord> {
  const folder = mkdtempSync(join(tmpdir(), 'leakbench-clock-'));
  const failures: unknown[] = [];
  const listenerFailed = (error: unknown): void => void failures.push(error);
  const record = openRecord({ folder, rigName: 'R', listenerFailed });
  const clock = benchClock(2);
  const log = pino({ level: 'silent' });
  const closers: Closers = [
    () => {
      record.close();
      rmSync(folder, { recursive: true });
    },
    () => {
      clock.stop();
    },
  ];
  onTestFinished(async () => {
    for (const close of closers.reverse()) await close();
  });
  const bus = new Map([['main', { kind: 'tcp', host: '127.0.0.1', port: 0 } as const]]);
  const { bench } = await startBench(
    'sim',
    { rig: demoRig(), warnings: [] },
    { host: '', port: 0, speed: 2, data: folder, recordLimit: '', seed: 1, token: [], bus: [] },
    bus,
    { record, clock, log, failure: new Failure(log) },
    closers,
  );
  return {
    bench,
    failures,
    refuse: () => {
      const when = "WHEN NEW.type = 'leakbench.clock.changed' BEGIN SELECT RAISE(ABORT, 'no room'); END";
      meddle(folder, `CREATE TRIGGER refused BEFORE INSERT ON events ${when}`);
    },
    take: () => {
      meddle(folder, 'DROP TRIGGER refused');
    },
    told: () => record.latest(['clock.changed'])?.data.fields,
    set: () => ({ speed: clock.speed(), paused: clock.paused() }),
  };
}

const HURRIES = { speed: 20, paused: false };

test('where it cannot be recorded that the clock is set, it goes on to the next event as before', async () => {
  const { bench, refuse, take, told, set } = await begun();
  bench.setClock({ toNextEvent: true });
  expect([told(), set(), bench.snapshot().stepping]).toEqual([HURRIES, HURRIES, true]);
  refuse();
  expect(() => bench.setClock({ paused: true })).toThrow(RecordError);
  expect([told(), set(), bench.snapshot().stepping]).toEqual([HURRIES, HURRIES, true]);
  take();
  expect(bench.setClock({ paused: true })).toEqual({ ok: true });
  const still = { speed: 2, paused: true };
  expect([told(), set(), bench.snapshot().stepping]).toEqual([still, still, false]);
});

test('at the next event it stands still once that is on record, at the speed of before', async () => {
  const { bench, failures, refuse, take, told, set } = await begun();
  bench.setClock({ toNextEvent: true });
  refuse();
  bench.applyStep({ call: { cooling: 'on' } });
  await expect.poll(() => failures[0]).toBeInstanceOf(RecordError);
  expect([told(), set(), bench.snapshot().stepping]).toEqual([HURRIES, HURRIES, true]);
  take();
  bench.applyStep({ call: { cooling: 'off' } });
  await expect.poll(() => bench.snapshot().stepping).toBe(false);
  const still = { speed: 2, paused: true };
  expect([told(), set(), bench.snapshot().stepping]).toEqual([still, still, false]);
});

test('a drill that holds the clock lets it go, although somebody could not set it meanwhile', async () => {
  const { bench, refuse, set } = await begun();
  expect(await bench.playDrill({ id: 'ordinary-day' })).toEqual({ ok: true });
  expect(set()).toEqual({ speed: 2, paused: true });
  refuse();
  for (const change of [{ speed: 5 }, { toNextEvent: true } as const]) {
    expect(() => bench.setClock(change)).toThrow(RecordError);
  }
  bench.stopDrill();
  expect(set()).toEqual({ speed: 2, paused: false });
});
