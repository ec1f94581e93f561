/**
 * The live host and the virtual host run the same cores: the same steps give, signal by signal, the same
 * changes in the same order, their times within two polls.
 */
import { afterEach, expect, test } from 'vitest';
import { LiveWorld, World } from '../../sim/world/index.ts';
import { VirtualBench } from '../../src/app/virtual-bench.ts';
import { type BenchClock, benchClock } from '../../src/clock/index.ts';
import { UNWATCHED } from '../../src/line/index.ts';
import { busClient, planOf, Supervisor } from '../../src/supervisor/index.ts';
import { ms } from '../../src/units/index.ts';
import { demoRig, stepFor } from '../helpers/demo.ts';
import { SignalRecorder } from '../helpers/signal-recorder.ts';

const RIG = demoRig();
const SEED = 7;
const S = 1000;
const POLL_MS = 1000;
const END_MS = 480 * S;
/** Half a poll after a poll, so that live and virtual bench agree which poll comes first. */
const STEPS = [
  [20.5 * S, { call: { cooling: 'on' } }],
  [60.5 * S, { fault: { in: 'coil-b', kind: 'silent', lasts: '9 s' } }],
  [80.5 * S, { release: { at: 'cabinet', rate: '20 g/s', lasts: '20 s' } }],
  [420.5 * S, { call: { cooling: 'off', heating: 'on' } }],
] as const;

/** Signals of the equipment and the truth; the wire's own traffic differs in every retry. */
const SIGNALS = [
  'fan',
  'damper',
  'heat',
  'alarm',
  'trouble',
  'compressor.a',
  'compressor.b',
  'airflow',
  'call.cooling',
  'call.heating',
  'release',
  'coil-b.fault.silent',
];

const closers: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0).reverse()) await close();
});

function runVirtual(): SignalRecorder {
  const recorder = new SignalRecorder();
  const bench = new VirtualBench(RIG, { seed: SEED, observe: recorder.observe, tell: () => undefined });
  for (const [atMs, step] of STEPS) {
    bench.runUntil(ms(atMs));
    bench.apply(stepFor(RIG, step));
  }
  bench.runUntil(ms(END_MS));
  return recorder;
}

async function runLive(): Promise<SignalRecorder> {
  const recorder = new SignalRecorder();
  const clock = benchClock(20);
  const world = new World(RIG, {
    seed: SEED,
    startMs: clock.now(),
    serviceDaysLeft: () => 1000,
    observe: recorder.observe,
  });
  const live = new LiveWorld(world, clock);
  await live.listen(() => [{ kind: 'tcp', host: '127.0.0.1', port: 0 }]);
  const supervisor = new Supervisor(
    planOf(RIG),
    { record: 'empty', tripAgesMs: [], tripCounted: false },
    {
      clock,
      buses: live.addresses.map(({ address }) => busClient(address, UNWATCHED)),
      store: () => undefined,
      storeFailed: () => undefined,
      failed: () => undefined,
    },
  );
  closers.push(
    () => {
      clock.stop();
    },
    () => live.close(),
    () => supervisor.stop(),
  );
  for (const [atMs, step] of STEPS) {
    await reached(clock, atMs);
    live.apply(stepFor(RIG, step));
  }
  await reached(clock, END_MS);
  return recorder;
}

function reached(clock: BenchClock, atMs: number): Promise<void> {
  return new Promise((resolve) => {
    clock.at(ms(atMs), resolve);
  });
}

test('live and virtual time agree, signal by signal', async () => {
  const virtual = runVirtual();
  const live = await runLive();
  let changes = 0;
  for (const signal of SIGNALS) {
    const expected = virtual.changes(signal);
    const found = live.changes(signal);
    changes += expected.length;
    expect(
      found.map(({ value }) => value),
      signal,
    ).toEqual(expected.map(({ value }) => value));
    found.forEach(({ atMs }, index) => {
      expect(Math.abs(atMs - (expected[index]?.atMs ?? 0)), `${signal} ${index}`).toBeLessThanOrEqual(
        2 * POLL_MS,
      );
    });
  }
  expect(changes).toBeGreaterThan(20);
});
