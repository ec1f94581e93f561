/**
 * A field I/O that does not take one half of a write, refused or lost: the other half goes out all the same,
 * and somebody is told. The same live and in virtual time.
 */
import { expect, test } from 'vitest';
import { applyStep } from '../../../sim/world/index.ts';
import { VirtualWorld } from '../../../src/app/virtual-world.ts';
import type { Fact } from '../../../src/events/index.ts';
import { decodeResponse, encodeRequest } from '../../../src/modbus/index.ts';
import type { Outcome } from '../../../src/poll/index.ts';
import { COMPRESSOR_COIL_FIRST } from '../../../src/rig/index.ts';
import {
  type BusClient,
  planOf,
  Supervisor,
  VirtualSupervisor,
  type VirtualWire,
} from '../../../src/supervisor/index.ts';
import { type Ms, ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';
import { FaultyClock } from '../../helpers/faulty-around.ts';

const RIG = demoRig();
const NEW = { record: 'empty', tripAgesMs: [], tripCounted: false } as const;
const WRITE_COILS = 15;
const REFUSED = Uint8Array.of(WRITE_COILS + 0x80, 2);

/** The first coils of the half that is not taken. */
const HALVES = [
  ['fan and the like', 0],
  ['compressors', COMPRESSOR_COIL_FIRST],
] as const;
const FAULTS = ['refused', 'lost'] as const;
const CASES = HALVES.flatMap(([half, coil]) => FAULTS.map((fault) => ({ half, coil, fault })));

/** A world whose field I/O does not take writes from one coil on, once that is told. */
class HalfDeaf {
  readonly virtual = new VirtualWorld(RIG, 1, () => undefined);
  readonly facts: Fact[] = [];
  /** First coils of writes, in the order in which they were asked. */
  readonly asked: number[] = [];
  deafAt: number | null = null;
  fault: (typeof FAULTS)[number] = 'refused';

  readonly wire: VirtualWire = (line, unit, pdu, now) => {
    if (pdu[0] === WRITE_COILS) {
      const coil = pdu[2] ?? 0;
      this.asked.push(coil);
      if (coil === this.deafAt) return this.fault === 'refused' ? REFUSED : undefined;
    }
    return this.virtual.world.serve(line, unit, pdu, now);
  };

  readonly tell = (facts: readonly Fact[]): void => {
    this.facts.push(...facts);
  };

  get raised(): readonly string[] {
    return this.facts.flatMap((fact) => (fact.id === 'hazard.raised' ? [fact.fields.hazard] : []));
  }
}

/** Runs a supervisor in this world up to a moment. */
type Run = (untilMs: number) => Promise<void>;

function inVirtualTime({ virtual, wire, tell }: HalfDeaf): Run {
  const supervisor = new VirtualSupervisor(planOf(RIG), NEW, wire, tell, ms(0));
  return (untilMs) => {
    for (const now of virtual.moments(ms(untilMs), () => supervisor.nextDueMs())) supervisor.wake(now);
    return Promise.resolve();
  };
}

function live({ virtual, wire, tell }: HalfDeaf): Run {
  const clock = new FaultyClock();
  const bus: BusClient = {
    address: 'nowhere',
    perform: (unit, request, timeoutMs) => {
      const pdu = wire('main', unit, encodeRequest(request), ms(clock.nowMs));
      const outcome = outcomeOf(pdu instanceof Uint8Array ? decodeResponse(pdu, request) : null);
      if (outcome.kind !== 'silent') return Promise.resolve(outcome);
      return new Promise((resolve) => {
        clock.at(clock.nowMs + timeoutMs, () => {
          resolve(outcome);
        });
      });
    },
    abandon: () => undefined,
    close: () => undefined,
  };
  const told = { clock, buses: [bus], store: tell, storeFailed: unexpected, failed: unexpected };
  new Supervisor(planOf(RIG), NEW, told);
  return async (untilMs) => {
    await clock.run(untilMs, () => undefined);
    virtual.world.advance(untilMs as Ms);
  };
}

function outcomeOf(response: ReturnType<typeof decodeResponse> | null): Outcome<ArrayLike<number>> {
  if (response === null) return { kind: 'silent' };
  if (response.kind === 'mismatched') return response;
  if (response.kind === 'exception') return { kind: 'refused', exception: response.code };
  return { kind: 'answered', answer: response.kind === 'read' ? response.values : [] };
}

function unexpected(error: unknown): never {
  throw error;
}

const HOSTS = { live, 'in virtual time': inVirtualTime };

test.each(Object.entries(HOSTS).flatMap(([host, start]) => CASES.map((one) => ({ host, start, ...one }))))(
  '$host: $half $fault, and the other half is commanded',
  async ({ start, coil, fault }) => {
    const plant = new HalfDeaf();
    const run = start(plant);
    const { world } = plant.virtual;
    applyStep(world, stepFor(RIG, { call: { cooling: 'on' } }), ms(0));
    await run(30_000);
    expect(world.terminals).toMatchObject({ fan: true, compressors: [true, true], alarm: false });

    Object.assign(plant, { deafAt: coil, fault });
    plant.asked.length = 0;
    applyStep(world, stepFor(RIG, { testGas: { at: 'grille', level: '60 %LFL' } }), ms(30_000));
    await run(33_500);
    // Before the watchdog of the field I/O does it.
    const isDeafToFan = coil === 0;
    expect(world.terminals).toMatchObject(
      isDeafToFan ? { compressors: [false, false] } : { alarm: true, compressors: [true, true] },
    );

    expect(plant.raised).not.toContain('commandsNotTaken');
    await run(40_000);
    expect(plant.raised.filter((hazard) => hazard === 'commandsNotTaken')).toHaveLength(1);
    plant.deafAt = null;
    await run(42_500);
    expect(world.terminals).toMatchObject({ fan: true, alarm: true, compressors: [false, false] });
    const over = plant.facts.findLast(({ id }) => id === 'hazard.cleared');
    expect(over?.fields).toMatchObject({ title: 'commands not taken' });
  },
);

test.each(Object.entries(HOSTS))('%s: what stops goes out first, what starts goes last', async (_, start) => {
  const plant = new HalfDeaf();
  const run = start(plant);
  await run(1500);
  expect(plant.asked.slice(0, 2)).toEqual([COMPRESSOR_COIL_FIRST, 0]);
  applyStep(plant.virtual.world, stepFor(RIG, { call: { cooling: 'on' } }), ms(1500));
  await run(30_000);
  expect(plant.asked.slice(-2)).toEqual([0, COMPRESSOR_COIL_FIRST]);
});
