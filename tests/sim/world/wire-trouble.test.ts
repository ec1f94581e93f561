/**
 * Each fault of the wire over a real socket at the real bus client, and at the virtual wire, on each kind of
 * line: the same outcome, never a wrong number, never a crash.
 */
import { describe, expect, test } from 'vitest';
import { applyStep } from '../../../sim/world/index.ts';
import { encodeRequest, type TableRequest } from '../../../src/modbus/index.ts';
import { performVirtually } from '../../../src/supervisor/index.ts';
import { ms, unitId } from '../../../src/units/index.ts';
import { stepFor } from '../../helpers/demo.ts';
import {
  ALL_KINDS,
  CASES,
  faultStep,
  KINDS,
  type LineKind,
  newWorld,
  onSocket,
  PLAYED,
  RIGS,
  TIMEOUT_MS,
  virtualLine,
  type WireCase,
} from './wire-cases.ts';

/** For what surely comes. */
const PATIENT_MS = 5000;

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
const ALL = CASES.flatMap((one) =>
  SUBJECTS.map(([subject, unit, request, answer]) => {
    const what = `${one.kind} ${JSON.stringify(one.parameters)} in ${subject}, function ${request.functionCode}`;
    return { ...one, name: `${one.line}: ${what}`, subject, unit: unitId(unit), request, answer };
  }),
);

test('every fault of the wire is played', () => {
  expect(PLAYED).toEqual(ALL_KINDS);
});

/** Over RTU a mismatch is certain when time is up, and not before; silence always is. */
function waitMs({ line, outcome }: WireCase): number {
  if (outcome === 'silent') return TIMEOUT_MS;
  return line === 'RTU over TCP' && outcome === 'mismatched' ? 2 * TIMEOUT_MS : PATIENT_MS;
}

describe('over a real socket and in virtual time', () => {
  test.concurrent.for(ALL)('$name: $outcome', async (one, { onTestFinished }) => {
    const { live, bus: client, close } = await onSocket(one.line);
    onTestFinished(close);
    live.apply(faultStep(one.subject, one.kind, one.parameters));
    // A request of another unit before it: what names that one is nobody's answer now.
    await client.perform(unitId(12), SERIAL, PATIENT_MS);
    const overSocket = await client.perform(one.unit, one.request, waitMs(one));

    const world = newWorld(one.line);
    applyStep(world, faultStep(one.subject, one.kind, one.parameters), ms(0));
    const virtually = performVirtually(
      (...asked) => world.serve(...asked),
      virtualLine(one.line),
      [{ unitId: one.unit, request: one.request }],
      ms(100),
    );
    expect([overSocket.kind, virtually.kind]).toEqual([one.outcome, one.outcome]);
    if (overSocket.kind === 'answered') expect(toArray(overSocket.answer)).toEqual(one.answer);
    if (virtually.kind === 'answered') expect(toArray(virtually.answer[0] ?? [])).toEqual(one.answer);
    if (overSocket.kind === 'refused') expect(virtually).toEqual(overSocket);

    // Mended, it is heard at once; nothing that came before is taken for its answer.
    live.apply(stepFor(RIGS[one.line], { mend: { in: one.subject } }));
    const mended = await client.perform(one.unit, one.request, PATIENT_MS);
    expect(mended.kind === 'answered' && toArray(mended.answer)).toEqual(one.answer);
  });
});

function toArray(words: ArrayLike<number>): readonly number[] {
  return Array.from(words);
}

test.each(KINDS)(
  '%s: a write is carried out whatever becomes of its answer, but where it is refused',
  (line) => {
    for (const { kind, parameters } of CASES) {
      const commands: string[] = [];
      const world = newWorld(line, (seen) => {
        if (seen.kind === 'command') commands.push(seen.output);
      });
      applyStep(world, faultStep('fieldIo', kind, parameters), ms(0));
      const write = [{ unitId: unitId(200), request: COILS }];
      performVirtually((...asked) => world.serve(...asked), virtualLine(line), write, ms(100));
      expect(commands, kind).toEqual(kind === 'refuse' ? [] : ['fan', 'damper', 'alarm']);
    }
  },
);

/** What comes of one request at 100 ms. */
function ask(world: ReturnType<typeof newWorld>, line: LineKind, unit = 11, timeoutMs: number = TIMEOUT_MS) {
  return performVirtually(
    (...asked) => world.serve(...asked),
    virtualLine(line, timeoutMs),
    [{ unitId: unitId(unit), request: SERIAL }],
    ms(100),
  );
}

test.each(KINDS)('%s: several faults strike one answer together', (line) => {
  const world = newWorld(line);
  applyStep(world, faultStep('coil-a', 'late', { by: '100 ms' }), ms(0));
  applyStep(world, faultStep('coil-a', 'exception', { code: 6 }), ms(0));
  expect(ask(world, line, 11, 300)).toEqual({ kind: 'refused', exception: 6 });
  expect(ask(world, line, 11, 50)).toEqual({ kind: 'silent' });
});

test.each(KINDS)('%s: with refuse any other fault, or all of them, make no difference', (line) => {
  const world = newWorld(line);
  for (const { kind, parameters } of CASES) applyStep(world, faultStep('coil-a', kind, parameters), ms(0));
  expect(ask(world, line)).toEqual({ kind: 'silent' });
});

describe('a gateway', () => {
  test('says 0B for a device that is silent, and for a unit that nobody has', () => {
    const world = newWorld('a gateway');
    const failed = { kind: 'refused', exception: 0x0b };
    expect(ask(world, 'a gateway', 99)).toEqual(failed);
    applyStep(world, faultStep('coil-a', 'silent', {}), ms(100));
    expect(ask(world, 'a gateway')).toEqual(failed);
  });

  test('says 0A for a unit that no serial line can have, and whoever is in a hurry hears it', () => {
    const world = newWorld('a gateway');
    for (const unit of [248, 255])
      expect(ask(world, 'a gateway', unit, 0)).toEqual({ kind: 'refused', exception: 0x0a });
  });

  test('strikes and takes time on its Modbus TCP side alone', () => {
    const world = newWorld('a gateway');
    const pdu = encodeRequest(SERIAL);
    const overRtu = world.serve('main', 11, pdu, ms(100), 'rtu');
    expect(overRtu).toBeInstanceOf(Uint8Array);
    const overTcp = world.serve('main', 11, pdu, ms(100), 'mbap');
    if (overTcp === undefined || overTcp instanceof Uint8Array) throw new Error('it takes no time');
    const { parts } = overTcp.emission({ kind: 'mbap', transactionId: 1 });
    // 8 and 13 bytes, and two silences, at 19 200 bit/s: 21 * 0.57292 + 2 * 2.00521 ms (computed).
    expect(parts.map(({ afterMs }) => afterMs)).toEqual([16]);
  });

  test('carries a broadcast out and says nothing', () => {
    const commands: string[] = [];
    const world = newWorld('a gateway', (seen) => {
      if (seen.kind === 'command') commands.push(seen.output);
    });
    expect(world.serve('main', 0, Uint8Array.of(5, 0, 0, 0xff, 0), ms(100))).toBeUndefined();
    expect(commands).toEqual(['fan']);
  });
});

test('a share of answers is lost: every tenth, where nothing else is said', () => {
  const world = newWorld('Modbus TCP');
  applyStep(world, faultStep('coil-a', 'lossy', {}), ms(0));
  const asked = 2000;
  let lost = 0;
  for (let count = 0; count < asked; count += 1) {
    const outcome = performVirtually(
      (...request) => world.serve(...request),
      virtualLine('Modbus TCP'),
      [{ unitId: unitId(11), request: SERIAL }],
      ms(100 + count),
    );
    lost += Number(outcome.kind === 'silent');
  }
  // Binomial: mean 200, standard deviation 13.4; four of them.
  expect(Math.abs(lost - asked / 10)).toBeLessThan(54);
});
