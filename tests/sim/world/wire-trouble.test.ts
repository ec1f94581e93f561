/**
 * Each fault of the wire over a real socket at the real bus client, and at the virtual wire: the same outcome,
 * never a wrong number, never a crash, and nobody else on the line is asked more seldom.
 */
import { describe, expect, test } from 'vitest';
import { TraceRecorder } from '../../../sim/drill/trace-recorder.ts';
import { WIRE_FAULT_KINDS, type WireFaultKind } from '../../../sim/faults/index.ts';
import { applyStep, LiveWorld, type Observe, World } from '../../../sim/world/index.ts';
import { VirtualBench } from '../../../src/app/virtual-bench.ts';
import { benchClock } from '../../../src/clock/index.ts';
import type { TableRequest } from '../../../src/modbus/index.ts';
import { type BusClient, busClient } from '../../../src/supervisor/bus-client.ts';
import { performVirtually, planOf, Supervisor } from '../../../src/supervisor/index.ts';
import { ms, unitId } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

const RIG = demoRig();
const TIMEOUT_MS = RIG.lines[0]?.timeoutMs ?? ms(0);
/** For what surely comes. */
const PATIENT_MS = 5000;
const SEED = 3;

/** Each fault as written, and what a careful client makes of it. */
const CASES = [
  ['exception', {}, 'refused'],
  ['exception', { code: 7 }, 'refused'],
  ['wrong-unit', {}, 'mismatched'],
  ['wrong-transaction', {}, 'silent'],
  ['wrong-function', {}, 'mismatched'],
  ['short-frame', {}, 'mismatched'],
  ['long-frame', {}, 'mismatched'],
  ['same-address', {}, 'mismatched'],
  ['same-address', { heard: 'both' }, 'answered'],
  ['garbage', {}, 'silent'],
  ['drop-connection', {}, 'silent'],
  ['dribble', {}, 'answered'],
  ['dribble', { every: '100 ms' }, 'silent'],
  ['late', { by: '30 ms' }, 'answered'],
  ['late', { by: '600 ms' }, 'silent'],
  ['lossy', { probability: 1 }, 'silent'],
  ['refuse', {}, 'silent'],
] as const satisfies readonly (readonly [WireFaultKind, object, string])[];

const SERIAL: TableRequest = { kind: 'read', functionCode: 4, address: 15, quantity: 4 };
const INPUTS: TableRequest = { kind: 'read', functionCode: 2, address: 0, quantity: 26 };
const COILS: TableRequest = {
  kind: 'writeMany',
  functionCode: 15,
  address: 0,
  values: Uint16Array.of(1, 1, 0, 0, 1),
};
/** "240811" as its registers hold it, in ASCII, filled up with spaces. */
const SERIAL_WORDS = [0x3234, 0x3038, 0x3131, 0x2020];
/** Nothing calls, and contact 8 is closed. */
const INPUT_BITS = Array.from({ length: 26 }, (_, at) => Number(at === 8));
const SUBJECTS = [
  ['coil-a', 11, SERIAL, SERIAL_WORDS],
  ['fieldIo', 200, INPUTS, INPUT_BITS],
  ['fieldIo', 200, COILS, []],
] as const;
const ALL = CASES.flatMap(([kind, parameters, outcome]) =>
  SUBJECTS.map(([subject, unit, request, answer]) => {
    const name = `${kind} ${JSON.stringify(parameters)} in ${subject}, function ${request.functionCode}`;
    return { name, kind, parameters, outcome, subject, unit: unitId(unit), request, answer };
  }),
);

const faultStep = (subject: string, kind: string, parameters: object) =>
  stepFor(RIG, { fault: { in: subject, kind, ...parameters } });

function newWorld(observe: Observe = () => undefined): World {
  return new World(RIG, { seed: SEED, startMs: ms(0), serviceDaysLeft: () => 1000, observe });
}

async function onSocket(speed = 1, observe?: Observe) {
  const clock = benchClock(speed);
  const closers: (() => unknown)[] = [];
  const live = new LiveWorld(newWorld(observe), clock);
  await live.listen(() => [{ host: '127.0.0.1', port: 0 }]);
  const watcher = { connected: () => undefined, lost: () => undefined };
  const bus: BusClient = busClient('127.0.0.1', live.addresses[0]?.port ?? 0, watcher);
  closers.push(
    () => {
      clock.stop();
    },
    () => live.close(),
    () => {
      bus.close();
    },
  );
  const close = async (): Promise<void> => {
    for (const one of closers.splice(0).reverse()) await one();
  };
  return { clock, live, bus, closers, close };
}

test('every fault of the wire is played', () => {
  expect(new Set(CASES.map(([kind]) => kind))).toEqual(new Set(WIRE_FAULT_KINDS));
});

describe('over a real socket and in virtual time', () => {
  test.concurrent.for(ALL)('$name: $outcome', async (one, { onTestFinished }) => {
    const { live, bus: client, close } = await onSocket();
    onTestFinished(close);
    live.apply(faultStep(one.subject, one.kind, one.parameters));
    // A request of another unit before it: what names that one is nobody's answer now.
    await client.perform(unitId(12), SERIAL, PATIENT_MS);
    const overSocket = await client.perform(
      one.unit,
      one.request,
      one.outcome === 'silent' ? TIMEOUT_MS : PATIENT_MS,
    );

    const world = newWorld();
    applyStep(world, faultStep(one.subject, one.kind, one.parameters), ms(0));
    const virtually = performVirtually(
      (...asked) => world.serve(...asked),
      { id: 'main', timeoutMs: TIMEOUT_MS },
      [{ unitId: one.unit, request: one.request }],
      ms(100),
    );
    expect([overSocket.kind, virtually.kind]).toEqual([one.outcome, one.outcome]);
    if (overSocket.kind === 'answered') expect(toArray(overSocket.answer)).toEqual(one.answer);
    if (virtually.kind === 'answered') expect(toArray(virtually.answer[0] ?? [])).toEqual(one.answer);
    if (overSocket.kind === 'refused') expect(virtually).toEqual(overSocket);

    // Mended, it is heard at once; nothing that came before is taken for its answer.
    live.apply(stepFor(RIG, { mend: { in: one.subject } }));
    const mended = await client.perform(one.unit, one.request, PATIENT_MS);
    expect(mended.kind === 'answered' && toArray(mended.answer)).toEqual(one.answer);
  });
});

function toArray(words: ArrayLike<number>): readonly number[] {
  return Array.from(words);
}

test('a write has been carried out whatever becomes of its answer, but where the wire refuses it', () => {
  for (const [kind, parameters] of CASES) {
    const commands: string[] = [];
    const world = newWorld((seen) => {
      if (seen.kind === 'command') commands.push(seen.output);
    });
    applyStep(world, faultStep('fieldIo', kind, parameters), ms(0));
    const line = { id: 'main', timeoutMs: TIMEOUT_MS };
    const write = [{ unitId: unitId(200), request: COILS }];
    performVirtually((...asked) => world.serve(...asked), line, write, ms(100));
    expect(commands, kind).toEqual(kind === 'refuse' ? [] : ['fan', 'damper', 'alarm']);
  }
});

test('several faults strike one answer together', () => {
  const world = newWorld();
  applyStep(world, faultStep('coil-a', 'late', { by: '100 ms' }), ms(0));
  applyStep(world, faultStep('coil-a', 'exception', { code: 6 }), ms(0));
  const ask = (timeoutMs: number) =>
    performVirtually(
      (...asked) => world.serve(...asked),
      { id: 'main', timeoutMs: ms(timeoutMs) },
      [{ unitId: unitId(11), request: SERIAL }],
      ms(100),
    );
  expect(ask(300)).toEqual({ kind: 'refused', exception: 6 });
  expect(ask(50)).toEqual({ kind: 'silent' });
});

test('a share of answers is lost: every tenth, where nothing else is said', () => {
  const world = newWorld();
  applyStep(world, faultStep('coil-a', 'lossy', {}), ms(0));
  const asked = 2000;
  let lost = 0;
  for (let count = 0; count < asked; count += 1) {
    const outcome = performVirtually(
      (...request) => world.serve(...request),
      { id: 'main', timeoutMs: TIMEOUT_MS },
      [{ unitId: unitId(11), request: SERIAL }],
      ms(100 + count),
    );
    lost += Number(outcome.kind === 'silent');
  }
  // Binomial: mean 200, standard deviation 13.4; four of them.
  expect(Math.abs(lost - asked / 10)).toBeLessThan(54);
});

describe('the others on the line are asked as often as without it', () => {
  const END_MS = 60_000;
  /** So that the last cycle is whole, though an answer in it may come late. */
  const HALF_A_POLL_MS = 500;
  /** How often each unit was asked in a minute of virtual time, under the built-in supervisor. */
  function asked(fault: ReturnType<typeof faultStep> | null): ReadonlyMap<number, number> {
    const counts = new Map<number, number>();
    const bench = new VirtualBench(RIG, {
      seed: SEED,
      observe: (seen) => {
        if (seen.kind === 'asked') counts.set(seen.unitId, (counts.get(seen.unitId) ?? 0) + 1);
      },
      tell: () => undefined,
    });
    bench.runUntil(ms(20_000 + HALF_A_POLL_MS));
    counts.clear();
    if (fault !== null) bench.apply(fault);
    bench.runUntil(ms(20_000 + END_MS + HALF_A_POLL_MS));
    return counts;
  }
  const without = asked(null);

  test.each(CASES)('in virtual time: %s %j', (kind, parameters) => {
    const counts = asked(faultStep('coil-a', kind, parameters));
    expect(counts.get(12)).toBe(without.get(12));
    expect(counts.get(200)).toBeGreaterThanOrEqual(without.get(200) ?? 0);
    expect(counts.get(11)).toBeGreaterThanOrEqual(60);
  });

  test.concurrent.for(CASES)('over a socket: %s %j', async ([kind, parameters], { onTestFinished }) => {
    const polls = 15;
    const counts = new Map<number, number>();
    let enough: () => void = () => undefined;
    const done = new Promise<void>((resolve) => {
      enough = resolve;
    });
    const { clock, live, bus, closers, close } = await onSocket(10, (seen) => {
      if (seen.kind !== 'asked' || seen.pdu[0] === 15 || seen.pdu[0] === 1) return;
      counts.set(seen.unitId, (counts.get(seen.unitId) ?? 0) + 1);
      if (seen.unitId === 200 && counts.get(200) === polls) enough();
    });
    onTestFinished(close);
    live.apply(faultStep('coil-a', kind, parameters));
    const supervisor = new Supervisor(
      planOf(RIG),
      { record: 'empty', tripAgesMs: [], tripCounted: false },
      { clock, buses: [bus], store: () => undefined, storeFailed: () => undefined },
    );
    closers.push(() => supervisor.stop());
    await done;
    // The inputs are read once a cycle, and so is the other sensor: before or after them in the last one.
    expect(Math.abs((counts.get(12) ?? 0) - polls)).toBeLessThanOrEqual(1);
    expect(counts.get(11)).toBeGreaterThanOrEqual(polls - 1);
  });
});

describe('the trace', () => {
  test.each(CASES)(
    '%s %j: an answer only where one could be heard, and no sound sensor meanwhile',
    (kind, parameters, outcome) => {
      const recorder = new TraceRecorder(RIG, { startMs: 0, asksItself: false });
      const world = newWorld(recorder.observe);
      const whole: TableRequest = { kind: 'read', functionCode: 4, address: 0, quantity: 19 };
      const ask = (atMs: number) =>
        performVirtually(
          (...request) => world.serve(...request),
          { id: 'main', timeoutMs: TIMEOUT_MS },
          [{ unitId: unitId(11), request: whole }],
          ms(atMs),
        );
      ask(10_000);
      applyStep(
        world,
        stepFor(RIG, { fault: { in: 'coil-a', kind, ...parameters, lasts: '5 s' } }),
        ms(11_000),
      );
      ask(12_000);
      world.advance(ms(16_500));
      ask(17_000);
      const trace = recorder.finish(20_000);
      const [coil] = trace.sensors;
      const good = [true, outcome === 'answered', true];
      expect(coil?.requests.map(({ answer }) => answer !== null)).toEqual(good);
      expect(coil?.sound).toEqual([
        { atMs: 0, value: true },
        { atMs: 11_000, value: false },
        { atMs: 16_000, value: true },
      ]);
      expect(trace.fieldIoAnswers).toEqual([{ atMs: 0, value: true }]);
    },
  );

  test('has an answer that comes late at the moment it comes', () => {
    const recorder = new TraceRecorder(RIG, { startMs: 0, asksItself: false });
    const world = newWorld(recorder.observe);
    applyStep(world, faultStep('coil-a', 'late', { by: '250 ms' }), ms(0));
    const state: TableRequest = { kind: 'read', functionCode: 4, address: 0, quantity: 2 };
    performVirtually(
      (...request) => world.serve(...request),
      { id: 'main', timeoutMs: TIMEOUT_MS },
      [{ unitId: unitId(11), request: state }],
      ms(12_000),
    );
    expect(recorder.finish(20_000).sensors[0]?.requests).toMatchObject([
      { atMs: 12_000, answer: { atMs: 12_250, state: 'measuring' } },
    ]);
  });

  test.each([
    ['garbage', {}, false],
    ['late', { by: '200 ms' }, true],
    ['late', { by: '400 ms' }, false],
    ['dribble', {}, true],
    ['dribble', { every: '50 ms' }, false],
    ['same-address', {}, false],
    ['same-address', { heard: 'both' }, true],
  ] as const)('says whether the field I/O can be heard: %s %j', (kind, parameters, heard) => {
    const recorder = new TraceRecorder(RIG, { startMs: 0, asksItself: false });
    const world = newWorld(recorder.observe);
    applyStep(world, faultStep('fieldIo', kind, parameters), ms(1000));
    applyStep(world, stepFor(RIG, { mend: { in: 'fieldIo' } }), ms(2000));
    const changes = recorder.finish(3000).fieldIoAnswers.map(({ value }) => value);
    expect(changes).toEqual(heard ? [true] : [true, false, true]);
  });
});
