/**
 * Every fault of the wire before tshark: it must find fault with the answers to the sensor that has one, each
 * in its way, and with none of another device's on the same port, before or after.
 *
 * What tshark cannot see as wrong is in the table too: there the answer must be sound and name what the fault
 * makes it name, or come when the fault lets it. Each request has a connection of its own, because tshark
 * reads a stream on and on: half a frame would swallow the sound one after it. So all of them can be listened
 * to at the same time; a serial line has one conversation, and so there are several lines.
 */
import { open } from 'node:fs/promises';
import { setTimeout } from 'node:timers/promises';
import { describe, expect, type TestContext, test } from 'vitest';
import { WIRE_FAULT_KINDS, type WireFaultKind } from '../../sim/faults/index.ts';
import { openFace } from '../../sim/wire/open-face.ts';
import { inRealTime } from '../../sim/wire/outlet.ts';
import { applyStep, World } from '../../sim/world/index.ts';
import type { Framing } from '../../src/modbus/index.ts';
import type { BusAddress } from '../../src/rig/index.ts';
import { ms } from '../../src/units/index.ts';
import { demoRig, stepFor } from '../helpers/demo.ts';
import { ptyPair } from '../helpers/pty-pair.ts';
import { serialClient } from '../helpers/serial-client.ts';
import { frame, rawClient, rtu } from '../sim/wire/raw-client.ts';
import { endCapture, startCapture } from './capture.ts';
import { framesByPort, framesOnSerial, type Heard, type SerialPiece } from './frames-heard.ts';
import { requireTool } from './outside-tools.ts';

type Expected = readonly Partial<Heard>[];

interface Case {
  readonly kind: WireFaultKind;
  readonly parameters?: Readonly<Record<string, unknown>>;
  /** What tshark makes of the answer: over Modbus TCP, over RTU through a socket, on a serial port. */
  readonly tcp: Expected;
  readonly rtuTcp: Expected;
  /** Left out where a record without times cannot show it. */
  readonly serial?: Expected;
}

const FAULTY = 11;
/**
 * The field I/O: no fault makes an answer name it, so that nothing is taken for the answer to an older
 * request.
 */
const SOUND = 200;
const FUNCTION = 4;
const READ = [FUNCTION, 0, 0, 0, 2] as const;
const LATE_MS = 60;
/** A timer may fire a little early by the clock of the capture. */
const CLOCKS_MS = 2;

const SILENCE: Expected = [];
const ANSWER: Expected = [{ mark: 'sound', unit: FAULTY, functionCode: FUNCTION, exception: null }];
const marked = (mark: Heard['mark'], fields: Partial<Heard> = {}): Expected => [{ mark, ...fields }];
const alike = (expected: Expected) => ({ tcp: expected, rtuTcp: expected, serial: expected });

const CASES: readonly Case[] = [
  { kind: 'exception', ...alike(marked('sound', { unit: FAULTY, functionCode: FUNCTION, exception: 4 })) },
  {
    kind: 'wrong-unit',
    ...alike(marked('answers no request', { unit: FAULTY + 1, functionCode: FUNCTION })),
  },
  {
    kind: 'wrong-transaction',
    tcp: marked('answers no request', { unit: FAULTY, transaction: FAULTY - 1 }),
    rtuTcp: ANSWER,
    serial: ANSWER,
  },
  { kind: 'wrong-function', ...alike(marked('answers no request', { unit: FAULTY, functionCode: 3 })) },
  {
    kind: 'short-frame',
    tcp: marked('contradicts itself', { unit: FAULTY }),
    // It waits for the bytes that the byte count promises.
    rtuTcp: marked('no frame'),
    serial: marked('contradicts itself', { unit: FAULTY }),
  },
  {
    kind: 'long-frame',
    tcp: marked('contradicts itself', { unit: FAULTY }),
    rtuTcp: marked('wrong checksum', { unit: FAULTY }),
    serial: marked('contradicts itself', { unit: FAULTY }),
  },
  {
    kind: 'bad-crc',
    tcp: ANSWER,
    rtuTcp: marked('wrong checksum', { unit: FAULTY }),
    serial: marked('wrong checksum', { unit: FAULTY }),
  },
  {
    kind: 'same-address',
    tcp: marked('contradicts itself', { unit: FAULTY }),
    rtuTcp: marked('wrong checksum', { unit: FAULTY }),
    serial: marked('wrong checksum', { unit: FAULTY }),
  },
  {
    kind: 'same-address',
    parameters: { heard: 'both' },
    tcp: [...ANSWER, ...ANSWER],
    rtuTcp: [...ANSWER, ...ANSWER],
  },
  {
    kind: 'garbage',
    tcp: marked('no frame'),
    rtuTcp: marked('wrong checksum'),
    serial: marked('wrong checksum'),
  },
  {
    kind: 'drop-connection',
    tcp: marked('no frame'),
    rtuTcp: marked('no frame'),
    // Nothing can be hung up: half a frame goes out, too short for one.
    serial: marked('no frame'),
  },
  {
    kind: 'dribble',
    // It takes nothing for the beginning of a frame that comes in pieces of one byte.
    tcp: marked('no frame'),
    rtuTcp: marked('no frame'),
    serial: ANSWER,
  },
  {
    kind: 'late',
    parameters: { by: `${LATE_MS} ms` },
    ...alike(ANSWER),
  },
  { kind: 'lossy', ...alike(SILENCE) },
  { kind: 'refuse', ...alike(SILENCE) },
];

test('the table has every fault of the wire', () => {
  expect(new Set(CASES.map(({ kind }) => kind))).toEqual(new Set(WIRE_FAULT_KINDS));
});

/** Longer than a dribbled answer, or a late one, takes to come. */
const LISTEN_MS = 250;
/** Before each fault, under it, and after. */
const ASKED = [SOUND, FAULTY, SOUND] as const;
/** Serial lines side by side, each with every so manieth case. */
const LANES = 5;

type Finished = TestContext['onTestFinished'];

/** The demo rig on a face, long after its self-tests; time goes on with every request. */
async function benchOn(address: BusAddress, atEnd: Finished) {
  const rig = demoRig();
  const [line] = rig.lines;
  if (line === undefined) throw new Error('the demo rig has a line');
  const world = new World(rig, {
    seed: 1,
    startMs: ms(0),
    serviceDaysLeft: () => 1000,
    observe: () => undefined,
  });
  const framing: Framing['kind'] = address.kind === 'tcp' ? 'mbap' : 'rtu';
  let nowMs = 20_000;
  const later = () => {
    nowMs += 10;
    return ms(nowMs);
  };
  let served: () => void = () => undefined;
  const face = await openFace(address, {
    allow: [],
    after: inRealTime,
    serve: (unit, pdu) => {
      served();
      return world.serve(line.id, unit, pdu, later(), framing);
    },
  });
  atEnd(() => face.close());
  const step = (written: unknown): void => {
    expect(applyStep(world, stepFor(rig, written), later())).toBeNull();
  };
  return {
    address: face.address,
    /** Settles when the next request has come: what its answer will be is settled too. */
    nextServed: (): Promise<void> =>
      new Promise((settle) => {
        served = settle;
      }),
    inject: ({ kind, parameters }: Case): void => {
      step({ fault: { in: 'coil-a', kind, probability: 1, ...parameters } });
    },
    mend: (): void => {
      step({ mend: { in: 'coil-a' } });
    },
  };
}

describe.concurrent.each(['tcp', 'rtu+tcp'] as const)('on %s, tshark', (kind) => {
  test('finds fault with exactly the answers that have one', async (context) => {
    await requireTool(context, 'tshark');
    const bench = await benchOn({ kind, host: '127.0.0.1', port: 0 }, context.onTestFinished);
    const port = bench.address.kind === 'rtu' ? 0 : bench.address.port;
    const capture = await startCapture(port);
    const asked: number[] = [];
    const listening: Promise<void>[] = [];
    for (const one of CASES) {
      bench.inject(one);
      for (const unit of ASKED) {
        const client = await rawClient(port);
        const served = bench.nextServed();
        // The transaction is the unit's number.
        client.send(kind === 'tcp' ? frame(unit, unit, ...READ) : rtu(unit, ...READ));
        await served;
        asked.push(client.socket.localPort ?? 0);
        listening.push(setTimeout(LISTEN_MS).then(() => void client.socket.destroy()));
      }
      bench.mend();
    }
    await Promise.all(listening);
    const frames = await framesByPort(await endCapture(capture), kind, port);
    CASES.forEach((one, at) => {
      const expected = kind === 'tcp' ? one.tcp : one.rtuTcp;
      const clients = asked.slice(ASKED.length * at, ASKED.length * (at + 1));
      const heard = clients.map((client) => frames.get(client) ?? []);
      expect(heard, nameOf(one)).toEqual([soundAnswer(kind), expected.map(containing), soundAnswer(kind)]);
      if (one.kind === 'late') expect(heard[1]?.[0]?.afterMs).toBeGreaterThan(LATE_MS - CLOCKS_MS);
    });
  });
});

function nameOf({ kind, parameters }: Case): string {
  return `${kind} ${JSON.stringify(parameters ?? {})}`;
}

function containing(fields: Partial<Heard>): unknown {
  return expect.objectContaining(fields);
}

function soundAnswer(kind: BusAddress['kind']): readonly unknown[] {
  const transaction = kind === 'tcp' ? SOUND : null;
  return [containing({ mark: 'sound', unit: SOUND, functionCode: FUNCTION, exception: null, transaction })];
}

test.concurrent('on a serial port, tshark finds fault with exactly those answers', async (context) => {
  await requireTool(context, 'tshark', 'socat');
  const cases = CASES.filter(({ serial }) => serial !== undefined);
  const lanes = Array.from({ length: LANES }, (_, lane) => cases.filter((__, at) => at % LANES === lane));
  const pieces = await Promise.all(lanes.map((own) => spokenOnSerial(own, context.onTestFinished)));
  const answered = (unit: number, { serial = [] }: Case) =>
    unit === SOUND ? soundAnswer('rtu') : serial.map(containing);
  const expected = lanes.flat().flatMap((one) => ASKED.flatMap((unit) => answered(unit, one)));
  expect(await framesOnSerial(pieces.flat())).toEqual(expected);
});

/** What went over a serial line of its own while each fault was tried. */
async function spokenOnSerial(cases: readonly Case[], atEnd: Finished): Promise<readonly SerialPiece[]> {
  const pair = await ptyPair();
  atEnd(() => pair.remove());
  const [ours, theirs] = pair.paths;
  const address = { kind: 'rtu', path: ours, baud: 19_200, parity: 'even', stopBits: 1 } as const;
  const bench = await benchOn(address, atEnd);
  const farEnd = await open(theirs, 'r+');
  atEnd(() => farEnd.close());
  const client = await serialClient(theirs);
  atEnd(() => client.close());
  const pieces: SerialPiece[] = [];
  for (const one of cases) {
    bench.inject(one);
    for (const unit of ASKED) {
      const request = rtu(unit, ...READ);
      await client.send(request);
      await setTimeout(LISTEN_MS);
      const answer = client.empty();
      pieces.push({ by: 'client', bytes: request });
      if (answer.length > 0) pieces.push({ by: 'face', bytes: answer });
    }
    bench.mend();
  }
  return pieces;
}
