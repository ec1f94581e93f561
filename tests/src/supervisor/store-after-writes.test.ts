/**
 * The disk comes after a write that is due, also where another line than the field I/O's found out and has
 * time to store; and it comes all the same where that line hangs. Two lines, in virtual time.
 */
import { expect, test } from 'vitest';
import type { Fact } from '../../../src/events/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { planOf, Supervisor } from '../../../src/supervisor/index.ts';
import { type Ms, ms } from '../../../src/units/index.ts';
import { FaultyClock, FaultyPlant } from '../../helpers/faulty-around.ts';
import { onTwoLines } from './tiny-rig.ts';

const SECOND = 1000;
const SELDOM = ms(20 * SECOND);
const FIELD_IO = 200;
const COIL_B = 12;

/** Batches of facts as they were stored, with what ran by then as far as the field I/O knew. */
interface Stored {
  readonly atMs: number;
  readonly facts: readonly Fact[];
  readonly compressors: boolean | null;
}

class Bench {
  readonly clock = new FaultyClock();
  readonly plant: FaultyPlant;
  readonly #stored: Stored[] = [];

  /** Polls the line of `coil-b` and the field I/O's so often. */
  constructor(coilEveryMs: Ms, fieldIoEveryMs: Ms) {
    const rig = polled(onTwoLines(fieldIoEveryMs), coilEveryMs);
    this.plant = new FaultyPlant(rig, this.clock);
    let compressors: boolean | null = null;
    this.plant.commanded = (told) => {
      compressors = told.compressors ?? compressors;
    };
    const store = (facts: readonly Fact[]): void => {
      this.#stored.push({ atMs: this.clock.nowMs, facts, compressors });
    };
    new Supervisor(
      planOf(rig),
      { record: 'empty', tripAgesMs: [], tripCounted: false },
      {
        clock: this.clock,
        buses: rig.lines.map(() => this.plant.bus()),
        store,
        storeFailed: unexpected,
        failed: unexpected,
      },
    );
  }

  run(untilMs: number): Promise<void> {
    return this.clock.run(untilMs, () => undefined);
  }

  /** When it was stored that it mitigates. */
  get tripStored(): Stored | undefined {
    return this.#stored.find(({ facts }) =>
      facts.some((fact) => fact.id === 'mitigation.changed' && fact.fields.to === 'mitigating'),
    );
  }
}

function polled(rig: Rig, coilEveryMs: Ms): Rig {
  return {
    ...rig,
    lines: rig.lines.map((line) => (line.id === 'second' ? { ...line, pollEveryMs: coilEveryMs } : line)),
  };
}

function unexpected(error: unknown): never {
  throw error;
}

test('gas that another line finds is commanded before it is stored, and stored at once', async () => {
  const bench = new Bench(ms(SECOND), SELDOM);
  await bench.run(85 * SECOND);
  bench.plant.gas.add('coil-b');
  await bench.run(86 * SECOND + 1);
  expect(bench.tripStored).toMatchObject({ atMs: 86 * SECOND, compressors: false });
});

test('so is a silence that a look finds, though the other line has slept for longer', async () => {
  const bench = new Bench(SELDOM, ms(SECOND));
  await bench.run(59 * SECOND);
  bench.plant.wire.set(COIL_B, 'silent');
  await bench.run(70 * SECOND);
  expect(bench.tripStored).toMatchObject({ atMs: 65 * SECOND, compressors: false });
});

test('a line that hangs with a write due keeps the record waiting for a second or two, no longer', async () => {
  const bench = new Bench(ms(SECOND), ms(SECOND));
  await bench.run(59_500);
  bench.plant.wire.set(FIELD_IO, 'hung');
  await bench.run(60_500);
  bench.plant.gas.add('coil-b');
  await bench.run(64 * SECOND);
  expect(bench.tripStored?.compressors).toBe(true);
  expect(bench.tripStored?.atMs).toBeLessThanOrEqual(63 * SECOND);
});

test('a look stores where no line comes to it', async () => {
  const bench = new Bench(ms(SECOND), ms(SECOND));
  await bench.run(59_500);
  bench.plant.wire.set(COIL_B, 'silent');
  await bench.run(64_500);
  bench.plant.wire.set(COIL_B, 'hung').set(FIELD_IO, 'hung');
  await bench.run(68 * SECOND);
  expect(bench.tripStored?.atMs).toBeGreaterThan(65 * SECOND);
});
