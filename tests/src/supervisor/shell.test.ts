/** The live supervisor around a record that fails, an orderly stop and a power cut, over real sockets. */
import { afterEach, expect, test } from 'vitest';
import { applyStep, LiveWorld, World } from '../../../sim/world/index.ts';
import { type BenchClock, benchClock } from '../../../src/clock/index.ts';
import type { Fact } from '../../../src/events/index.ts';
import { UNWATCHED } from '../../../src/line/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { busClient, planOf, Supervisor } from '../../../src/supervisor/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';
import { onTwoLines } from './tiny-rig.ts';

/**
 * At twenty times the speed a busy machine easily holds a process up for longer than the demo rig's limits
 * allow; nothing here is about silence, so these benches are patient.
 */
const RIG = patient(demoRig());
const NEW_RECORD = { record: 'empty', tripAgesMs: [], tripCounted: false } as const;

function patient(rig: Rig): Rig {
  return {
    ...rig,
    lines: rig.lines.map((line) => ({ ...line, timeoutMs: ms(6000) })),
    fieldIo: { ...rig.fieldIo, watchdogMs: ms(120_000) },
    policy: { ...rig.policy, silentAfterMs: ms(60_000), fanProofWithinMs: ms(60_000) },
  };
}

const EXPECTED = new Error('a bug');

interface Ring {
  readonly world: World;
  readonly clock: BenchClock;
  readonly supervisor: Supervisor;
  readonly stored: Fact[];
  /** While true the record takes nothing. */
  readonly record: { fails: boolean; failures: number };
}

let open:
  | { readonly clock: BenchClock; readonly live: LiveWorld; readonly supervisor: Supervisor }
  | undefined;

afterEach(async () => {
  await open?.supervisor.cut();
  await open?.live.close();
  open?.clock.stop();
  open = undefined;
});

async function ring(recordFails = false, rig = RIG, kind: 'tcp' | 'rtu+tcp' = 'tcp'): Promise<Ring> {
  const clock = benchClock(20);
  const world = new World(rig, {
    seed: 1,
    startMs: clock.now(),
    serviceDaysLeft: () => 1000,
    observe: () => undefined,
  });
  const live = new LiveWorld(world, clock);
  await live.listen(() => [{ kind, host: '127.0.0.1', port: 0 }]);
  const buses = live.addresses.map(({ address }) => busClient(address, UNWATCHED));
  const stored: Fact[] = [];
  const record = { fails: recordFails, failures: 0 };
  const supervisor = new Supervisor(planOf(rig), NEW_RECORD, {
    clock,
    buses,
    store: (facts) => {
      if (record.fails) throw new Error('the disk is full');
      stored.push(...facts);
    },
    storeFailed: () => {
      record.failures += 1;
    },
    failed: (error) => {
      if (error !== EXPECTED) throw error;
    },
  });
  open = { clock, live, supervisor };
  return { world, clock, supervisor, stored, record };
}

/** Looks every few milliseconds until it is so. */
async function until(isSo: () => boolean): Promise<void> {
  for (let look = 0; look < 3000; look += 1) {
    if (isSo()) return;
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
  throw new Error(`never: ${isSo.toString()}`);
}

function step({ world, clock }: Ring, written: unknown): void {
  applyStep(world, stepFor(RIG, written), clock.now());
}

const phase = ({ supervisor }: Ring): string => supervisor.state.mitigation.phase.kind;

test('a record that takes nothing keeps it from letting go, and never from tripping', async () => {
  const bench = await ring(true);
  step(bench, { call: { cooling: 'on' } });
  await until(() =>
    bench.supervisor.state.beliefs.every((belief) => belief.selfTestPassed || belief.lastGood === null),
  );
  await until(() => bench.clock.now() > 15_000);
  expect(phase(bench)).toBe('starting');
  expect(bench.world.terminals.compressors).toEqual([false, false]);
  expect(bench.record.failures).toBeGreaterThan(0);

  bench.record.fails = false;
  await until(() => bench.world.terminals.compressors.every((on) => on));
  expect(bench.stored.some((fact) => fact.id === 'mitigation.changed' && fact.fields.to === 'running')).toBe(
    true,
  );

  bench.record.fails = true;
  step(bench, { testGas: { at: 'coil-a', level: '60 %LFL' } });
  await until(() => bench.world.terminals.compressors.every((on) => !on));
  expect(phase(bench)).toBe('mitigating');

  // What could not be stored is kept, in its order, until it can.
  bench.record.fails = false;
  await until(() =>
    bench.stored.some((fact) => fact.id === 'mitigation.changed' && fact.fields.to === 'mitigating'),
  );
  const order = bench.stored.filter((fact) => fact.id === 'mitigation.changed').map((fact) => fact.fields.to);
  expect(order).toEqual(['running', 'mitigating']);
});

test('what one line finds out does not wait for the cycle of the line with the field I/O', async () => {
  const slow = ms(600_000);
  const rig = patient(onTwoLines(slow));
  const bench = await ring(false, rig);
  const coilB = rig.sensors.findIndex((sensor) => sensor.id === 'coil-b');
  await until(() => bench.supervisor.state.beliefs[coilB]?.selfTestPassed === true);
  applyStep(bench.world, stepFor(rig, { testGas: { at: 'coil-b', level: '60 %LFL' } }), bench.clock.now());
  await until(() => bench.world.terminals.alarm);
  expect(bench.clock.now()).toBeLessThan(slow);
});

test('an orderly stop leaves compressors and heat off, and is the last thing on record', async () => {
  const bench = await ring();
  step(bench, { call: { cooling: 'on' } });
  await until(() => bench.world.terminals.compressors.every((on) => on));
  await bench.supervisor.stop();
  expect(bench.world.terminals.compressors).toEqual([false, false]);
  expect(bench.stored.at(-1)).toMatchObject({
    id: 'supervisor.stopped',
    fields: { state: 'running', unmitigated: true },
  });
});

test('a stop in the middle of a mitigation leaves the fan on, and says that it stood', async () => {
  const bench = await ring();
  await until(() => phase(bench) === 'running');
  step(bench, { testGas: { at: 'coil-b', level: '60 %LFL' } });
  await until(() => bench.world.terminals.fan);
  await bench.supervisor.stop();
  expect(bench.world.terminals).toMatchObject({ fan: true, damper: true, heat: false });
  expect(bench.stored.at(-1)).toMatchObject({ fields: { state: 'mitigating', unmitigated: false } });
});

test.each(['tcp', 'rtu+tcp'] as const)(
  'after an error nobody waits for a sensor that is silent: %s',
  async (kind) => {
    const patience = { ...RIG, lines: RIG.lines.map((line) => ({ ...line, timeoutMs: ms(600_000) })) };
    const bench = await ring(false, patience, kind);
    step(bench, { call: { cooling: 'on' } });
    await until(() => bench.world.terminals.compressors.every((on) => on));
    step(bench, { fault: { in: 'coil-a', kind: 'silent' } });
    const askedMs = bench.clock.now() + 10_000;
    await until(() => bench.clock.now() > askedMs);
    await bench.supervisor.fail(EXPECTED);
    expect(bench.world.terminals).toMatchObject({ fan: true, compressors: [false, false] });
    expect(bench.stored.at(-1)).toMatchObject({ id: 'supervisor.failed', fields: { leftSafe: true } });
  },
);

test('a power cut writes and records nothing more', async () => {
  const bench = await ring();
  step(bench, { call: { cooling: 'on' } });
  await until(() => bench.world.terminals.compressors.every((on) => on));
  const before = bench.stored.length;
  await bench.supervisor.cut();
  expect(bench.stored).toHaveLength(before);
  expect(bench.world.terminals.compressors).toEqual([true, true]);
});
