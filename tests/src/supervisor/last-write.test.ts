/** How a supervisor ends: what it looks at first, and the last write, which is read back. */
import { expect, test } from 'vitest';
import { type BusClient, planOf, Supervisor } from '../../../src/supervisor/index.ts';
import {
  type Commanded,
  FaultyClock,
  FaultyPlant,
  FaultyRecord,
  settled,
} from '../../helpers/faulty-around.ts';
import { RIG } from '../../helpers/faulty-history.ts';

const nothing = (): void => undefined;

/** A supervisor that serves a call; of its writes so many are lost as `losing` says. */
async function serving() {
  const clock = new FaultyClock();
  const plant = new FaultyPlant(RIG, clock);
  const commanded: Commanded[] = [];
  plant.commanded = (one) => commanded.push(one);
  const record = new FaultyRecord();
  const losing: Losing = { writes: 0, as: SILENT };
  const bus = lossy(plant.bus(), losing);
  const powerUp = { record: 'empty', tripAgesMs: [], tripCounted: false } as const;
  const supervisor = new Supervisor(planOf(RIG), powerUp, {
    clock,
    buses: [bus],
    store: record.store,
    storeFailed: nothing,
    failed: nothing,
  });
  await clock.run(30_000, nothing);
  expect(commanded.findLast(({ compressors }) => compressors !== null)?.compressors).toBe(true);
  /** What the field I/O holds once the supervisor has ended, and what it said last. */
  const ended = async (ending: Promise<void>) => {
    await settled();
    await clock.run(clock.nowMs + 10_000, nothing);
    await ending;
    return {
      compressors: commanded.findLast(({ compressors }) => compressors !== null)?.compressors,
      fan: commanded.findLast(({ fan }) => fan !== null)?.fan,
      last: record.facts.at(-1)?.fields,
    };
  };
  return { clock, plant, record, losing, supervisor, ended };
}

const SILENT = { kind: 'silent' } as const;
/** What an echo says of a write that was never taken: the field I/O's to one before, or a device's that lies. */
const ECHOED = { kind: 'answered', answer: [] } as const;

interface Losing {
  writes: number;
  as: typeof SILENT | typeof ECHOED;
}

function lossy(bus: BusClient, losing: Losing): BusClient {
  return {
    ...bus,
    perform: (unitId, request, timeoutMs) => {
      if (request.kind === 'read' || losing.writes === 0) return bus.perform(unitId, request, timeoutMs);
      losing.writes -= 1;
      return Promise.resolve(losing.as);
    },
  };
}

const { retries } = planOf(RIG).lines[0] ?? { retries: 0 };
/** Compressors, then the rest. */
const REQUESTS = 2;

test('a stop whose write is lost writes again, as often as the line retries', async () => {
  const { losing, supervisor, ended } = await serving();
  losing.writes = retries * REQUESTS;
  expect(await ended(supervisor.stop())).toEqual({
    compressors: false,
    fan: false,
    last: { state: 'running', unmitigated: true },
  });
});

test('a stop whose write is lost beside an echo reads that it is not held, and writes again', async () => {
  const { losing, supervisor, ended } = await serving();
  Object.assign(losing, { writes: retries * REQUESTS, as: ECHOED });
  expect(await ended(supervisor.stop())).toEqual({
    compressors: false,
    fan: false,
    last: { state: 'running', unmitigated: true },
  });
});

test('an error whose safe write is echoed and never held is not called left safe', async () => {
  const { losing, supervisor, ended } = await serving();
  Object.assign(losing, { writes: (retries + 1) * REQUESTS, as: ECHOED });
  expect(await ended(supervisor.fail(new Error('a bug')))).toMatchObject({
    compressors: true,
    last: { error: 'a bug', leftSafe: false },
  });
});

test('a stop whose every write is lost ends all the same, and is not called orderly', async () => {
  const { losing, supervisor, ended } = await serving();
  losing.writes = (retries + 1) * REQUESTS;
  expect(await ended(supervisor.stop())).toMatchObject({
    compressors: true,
    last: { state: 'running', unmitigated: false },
  });
  expect(losing.writes).toBe(0);
});

test('after an error the write that leaves it safe goes out again where it was lost', async () => {
  const { losing, supervisor, ended } = await serving();
  losing.writes = retries * REQUESTS;
  expect(await ended(supervisor.fail(new Error('a bug')))).toEqual({
    compressors: false,
    fan: true,
    last: { error: 'a bug', leftSafe: true },
  });
});

test('a stop while airflow is missing leaves the fan on, and is none with nothing mitigated', async () => {
  const { clock, plant, supervisor, ended } = await serving();
  plant.fanDead = true;
  await clock.run(clock.nowMs + RIG.policy.fanProofWithinMs + 5000, nothing);
  expect(supervisor.state.mitigation).toMatchObject({
    phase: { kind: 'running' },
    standing: [{ hazard: 'fanNotProven' }],
  });
  expect(await ended(supervisor.stop())).toEqual({
    compressors: false,
    fan: true,
    last: { state: 'running', unmitigated: false },
  });
});

test('a stop looks first: who has not been heard for an hour is no clean air', async () => {
  const { clock, supervisor, ended } = await serving();
  clock.nowMs += 3_600_000;
  expect(await ended(supervisor.stop())).toEqual({
    compressors: false,
    fan: true,
    last: { state: 'mitigating', unmitigated: false },
  });
});

test('gas in the answer that a stop waited for counts', async () => {
  const { clock, plant, record, supervisor, ended } = await serving();
  const coil = RIG.sensors.find(({ id }) => id === 'coil-a');
  if (coil?.kind !== 'modbus') throw new Error('coil-a is on Modbus');
  plant.wire.set(coil.unitId, 'late');
  plant.gas.add('coil-a');
  const out = new Set<number>();
  const asked = plant.wire.get.bind(plant.wire);
  plant.wire.get = (unit) => {
    out.add(unit);
    return asked(unit);
  };
  for (let step = 0; step < 100 && !out.has(coil.unitId); step += 1)
    await clock.run(clock.nowMs + 20, nothing);
  expect(supervisor.state.mitigation.phase.kind).toBe('running');
  expect(await ended(supervisor.stop())).toEqual({
    compressors: false,
    fan: true,
    last: { state: 'mitigating', unmitigated: false },
  });
  const raised = record.facts.flatMap((fact) => (fact.id === 'hazard.raised' ? [fact.fields.hazard] : []));
  expect(raised).toContain('gas');
});

test('a stop lets nothing go, though the record would take the release now', async () => {
  const { clock, plant, record, supervisor, ended } = await serving();
  plant.gas.add('coil-a');
  await clock.run(clock.nowMs + 5000, nothing);
  plant.gas.clear();
  record.fails = true;
  await clock.run(clock.nowMs + 2 * RIG.policy.holdMs, nothing);
  expect(supervisor.state.mitigation.phase.kind).toBe('holding');
  record.fails = false;
  expect(await ended(supervisor.stop())).toEqual({
    compressors: false,
    fan: true,
    last: { state: 'holding', unmitigated: false },
  });
});
