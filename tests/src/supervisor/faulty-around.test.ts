/** The live shell with every write, timer and wire failing at random moments; long: tests/long. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type BusClient, planOf, Supervisor } from '../../../src/supervisor/index.ts';
import { type Commanded, FaultyClock, FaultyPlant, FaultyRecord } from '../../helpers/faulty-around.ts';
import { histories, RIG, wrongIn } from '../../helpers/faulty-history.ts';

test('whatever fails around it, nothing unsafe is commanded, and it recovers in time', async () => {
  await fc.assert(
    fc.asyncProperty(histories, async (told) => {
      expect(await wrongIn(told)).toEqual([]);
    }),
    { numRuns: 200, endOnFailure: true },
  );
});

/** The supervisor in virtual time, and what it was handed. */
function around(bus?: BusClient) {
  const clock = new FaultyClock();
  const plant = new FaultyPlant(RIG, clock);
  const record = new FaultyRecord();
  const commanded: Commanded[] = [];
  plant.commanded = (one) => commanded.push(one);
  const failed: unknown[] = [];
  const powerUp = { record: 'empty', tripAgesMs: [], tripCounted: false } as const;
  const supervisor = new Supervisor(planOf(RIG), powerUp, {
    clock,
    buses: [bus ?? plant.bus()],
    store: record.store,
    storeFailed: () => undefined,
    failed: (error) => failed.push(error),
  });
  return { clock, plant, record, commanded, failed, supervisor };
}

const nothing = (): void => undefined;

test('facts that are too many to keep while the record takes none are counted, and said when it does', async () => {
  const { clock, plant, record, supervisor } = around();
  await clock.run(5000, nothing);
  record.fails = true;
  const said = record.facts.length;
  for (let second = 6; second < 2500; second += 1) {
    for (const sensor of ['coil-a', 'coil-b']) {
      if (second % 2 === 0) plant.gas.add(sensor);
      else plant.gas.delete(sensor);
    }
    await clock.run(second * 1000, nothing);
  }
  plant.gas.clear();
  record.fails = false;
  await clock.run(2_500_000, nothing);
  const [first] = record.facts.slice(said);
  expect(first?.id).toBe('facts.lost');
  expect(first?.id === 'facts.lost' && first.fields.count).toBeGreaterThan(0);
  expect(record.facts.length - said).toBeGreaterThan(10_000);
  await supervisor.cut();
}, 60_000);

test('an error in its own code leaves it safe, is recorded, and lets nothing go on', async () => {
  const { clock, plant, record, commanded, failed, supervisor } = around();
  await clock.run(20_000, nothing);
  expect(commanded.at(-1)?.compressors).toBe(true);
  const bug = new Error('a bug');
  plant.heard = () => {
    plant.heard = nothing;
    throw bug;
  };
  await clock.run(22_000, nothing);
  await supervisor.fail(bug);
  expect(failed).toEqual([bug]);
  expect(commanded.slice(-2)).toMatchObject([{ compressors: false }, { fan: true, heat: false }]);
  expect(record.facts.at(-1)).toMatchObject({
    id: 'supervisor.failed',
    fields: { error: 'a bug', leftSafe: true },
  });
  const commands = commanded.length;
  await clock.run(60_000, nothing);
  await supervisor.stop();
  expect(commanded).toHaveLength(commands);
  expect(record.facts.filter(({ id }) => id === 'supervisor.stopped')).toEqual([]);
});

test('an error beside a bus that throws too is told, and not called safe', async () => {
  const thrown = new Error('no such port');
  const bus: BusClient = {
    address: 'nowhere',
    perform: () => Promise.reject(thrown),
    abandon: nothing,
    close: nothing,
  };
  const { record, failed, supervisor } = around(bus);
  await supervisor.stop();
  await supervisor.fail(new Error('another'));
  expect(failed).toEqual([thrown]);
  expect(record.facts.at(-1)).toMatchObject({ id: 'supervisor.failed', fields: { leftSafe: false } });
});
