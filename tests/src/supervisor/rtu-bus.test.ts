/**
 * RTU over a real socket against a server that does everything wrong: a poll comes out as silent, refused or
 * mismatched, never as a wrong number and never as a crash; and the next good poll works again.
 */
import type { Socket } from 'node:net';
import { afterEach, describe, expect, it, test } from 'vitest';
import { socketLine, UNWATCHED } from '../../../src/line/index.ts';
import { encodeRtu } from '../../../src/modbus/index.ts';
import { type BusClient, busClient } from '../../../src/supervisor/bus-client.ts';
import { rtuBus } from '../../../src/supervisor/rtu-bus.ts';
import { unitId } from '../../../src/units/index.ts';
import { type Manner, type RoughServer, roughServer, stuckServer } from './rough-server.ts';
import { watching } from './watching.ts';

const UNIT = unitId(11);
const OTHER_UNIT = unitId(12);
const READ = { kind: 'read', functionCode: 4, address: 0, quantity: 2 } as const;
/** Another question whose answer looks the same. */
const LOOK_ALIKE = { ...READ, address: 20 } as const;
/** For what never comes. */
const TIMEOUT_MS = 150;
/** For what surely comes. */
const PATIENT_MS = 5000;
const GOOD_PDU = [4, 4, 0x12, 0x34, 0x00, 0xff];
const GOOD = { kind: 'answered', answer: [0x1234, 0x00ff] };
const FALSE_PDU = [4, 4, 0xde, 0xad, 0xbe, 0xef];
const FALSE = { kind: 'answered', answer: [0xdead, 0xbeef] };

/** A frame to this request, of the unit that was asked where no other is named. */
function rtu(request: Buffer, pdu: readonly number[], unit = request.readUInt8(0)): Buffer {
  return Buffer.from(encodeRtu(unit, Uint8Array.from(pdu)));
}

const answering =
  (pdu: readonly number[], unit?: number): Manner =>
  (request, socket) =>
    void socket.write(rtu(request, pdu, unit));
const good = answering(GOOD_PDU);
const never: Manner = () => undefined;
const broken = (frame: Buffer): Buffer =>
  Buffer.from(frame.with(frame.length - 1, frame.readUInt8(frame.length - 1) ^ 1));
/** Answers after a while: late for whoever did not wait as long. */
const after =
  (ms: number, manner: Manner): Manner =>
  (request, socket) => {
    setTimeout(() => {
      manner(request, socket);
    }, ms);
  };
/** In one write, so that it comes in one piece. */
const together =
  (...parts: readonly ((request: Buffer) => Buffer)[]): Manner =>
  (request, socket) =>
    void socket.write(Buffer.concat(parts.map((part) => part(request))));

const open: { close(): unknown }[] = [];
afterEach(async () => {
  for (const one of open.splice(0).reverse()) await one.close();
});

function opened<One extends { close(): unknown }>(one: One): One {
  open.push(one);
  return one;
}

async function serve(...manners: readonly Manner[]): Promise<RoughServer> {
  return opened(await roughServer(manners, good));
}

function connectTo({ port }: { readonly port: number }, watched: string[] = []): BusClient {
  return opened(busClient({ kind: 'rtu+tcp', host: '127.0.0.1', port }, watching(watched)));
}

describe('what is no answer', () => {
  const mismatched = (field: string) => ({ kind: 'mismatched', field });
  const SILENT = { kind: 'silent' };
  const troubles: readonly (readonly [name: string, manner: Manner, outcome: unknown])[] = [
    ['no answer', never, SILENT],
    ['a bad checksum', together((request) => broken(rtu(request, GOOD_PDU))), mismatched('checksum')],
    ['a wrong unit', answering(GOOD_PDU, 12), mismatched('unitId')],
    ['a wrong function', answering([3, 4, 0x12, 0x34, 0x00, 0xff]), mismatched('functionCode')],
    ['too few words', answering([4, 2, 0x12, 0x34]), mismatched('length')],
    ['too many words', answering([4, 6, 1, 2, 3, 4, 5, 6]), mismatched('length')],
    ['a byte count that lies low', answering([4, 2, 0x12, 0x34, 0x00, 0xff]), mismatched('length')],
    ['a byte count that lies high', answering([4, 250, 0x12, 0x34, 0x00, 0xff]), mismatched('length')],
    [
      'a frame cut in two',
      (request, socket) => void socket.write(rtu(request, GOOD_PDU).subarray(0, 5)),
      mismatched('checksum'),
    ],
    ['one byte', (_, socket) => void socket.write(Buffer.of(11)), mismatched('checksum')],
    ['garbage', (_, socket) => void socket.write(Buffer.alloc(64, 0xa5)), mismatched('checksum')],
    ['its own words back', (request, socket) => void socket.write(request), mismatched('length')],
    ['exception 02', answering([0x84, 2]), { kind: 'refused', exception: 2 }],
    ['exception 0B', answering([0x84, 0x0b]), { kind: 'refused', exception: 0x0b }],
    ['the exception of another unit', answering([0x84, 2], 12), mismatched('unitId')],
    ['the exception of another function', answering([0x83, 2]), mismatched('functionCode')],
    ['an exception without a code', answering([0x84]), mismatched('functionCode')],
    ['a close', (_, socket) => void socket.end(), SILENT],
    ['a reset', (_, socket) => void socket.resetAndDestroy(), SILENT],
    [
      'half an answer, then a close',
      (request, socket) => void socket.end(rtu(request, GOOD_PDU).subarray(0, 5)),
      mismatched('checksum'),
    ],
    [
      'more bytes than any answer has, then the answer',
      together(
        () => Buffer.alloc(2000, 0xa5),
        (request) => rtu(request, GOOD_PDU),
      ),
      mismatched('checksum'),
    ],
  ];

  test.each(troubles)('%s is no reading, and the next good answer is', async (_, manner, outcome) => {
    const bus = connectTo(await serve(manner));
    expect(await bus.perform(UNIT, READ, TIMEOUT_MS)).toEqual(outcome);
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });
});

describe('an answer is found', () => {
  const found: readonly (readonly [name: string, manner: Manner])[] = [
    [
      'behind noise',
      together(
        () => Buffer.of(0xa5, 11, 4, 4),
        (request) => rtu(request, GOOD_PDU),
      ),
    ],
    [
      'behind the late words of another unit',
      together(
        (request) => rtu(request, FALSE_PDU, 12),
        (request) => rtu(request, GOOD_PDU),
      ),
    ],
    [
      'behind a broken one',
      together(
        (request) => broken(rtu(request, FALSE_PDU)),
        (request) => rtu(request, GOOD_PDU),
      ),
    ],
    [
      'behind its question, which some adapters hear too',
      together(
        (request) => request,
        (request) => rtu(request, GOOD_PDU),
      ),
    ],
    [
      'before a second one',
      together(
        (request) => rtu(request, GOOD_PDU),
        (request) => rtu(request, FALSE_PDU),
      ),
    ],
    [
      'when it comes byte by byte',
      (request, socket) => {
        socket.setNoDelay();
        for (const byte of rtu(request, GOOD_PDU)) socket.write(Buffer.of(byte));
      },
    ],
  ];

  test.each(found)('%s', async (_, manner) => {
    const bus = connectTo(await serve(manner, good));
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
    expect(await bus.perform(OTHER_UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });

  test('with bits cut to what was asked, and writes that must be echoed', async () => {
    const bits = { kind: 'read', functionCode: 1, address: 0, quantity: 10 } as const;
    const write = {
      kind: 'writeMany',
      functionCode: 15,
      address: 0,
      values: Uint16Array.of(1, 0, 1),
    } as const;
    const bus = connectTo(
      await serve(answering([1, 2, 0x05, 0x02]), answering([15, 0, 0, 0, 3]), answering([15, 0, 1, 0, 3])),
    );
    expect(await bus.perform(UNIT, bits, PATIENT_MS)).toEqual({
      kind: 'answered',
      answer: [1, 0, 1, 0, 0, 0, 0, 0, 0, 1],
    });
    expect(await bus.perform(UNIT, write, PATIENT_MS)).toEqual({ kind: 'answered', answer: [] });
    expect(await bus.perform(UNIT, write, PATIENT_MS)).toEqual({ kind: 'mismatched', field: 'echo' });
  });
});

describe('an answer that nobody waits for any more', () => {
  /** Comes while the second question is out, and before the answer to that one. */
  const late = (manner: Manner): Manner => after(TIMEOUT_MS + 40, manner);
  const slowly = (manner: Manner): Manner => after(80, manner);

  it('is thrown away while nothing is out', async () => {
    const bus = connectTo(await serve(late(answering(FALSE_PDU))));
    expect(await bus.perform(UNIT, READ, TIMEOUT_MS)).toEqual({ kind: 'silent' });
    await new Promise((resolve) => setTimeout(resolve, 120));
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });

  it('is not taken for that to another question which would look the same', async () => {
    const bus = connectTo(await serve(late(answering(FALSE_PDU)), slowly(good)));
    expect(await bus.perform(UNIT, READ, TIMEOUT_MS)).toEqual({ kind: 'silent' });
    expect(await bus.perform(UNIT, LOOK_ALIKE, 500)).toEqual(GOOD);
  });

  it('is not taken for that of another run of bits which fills as many bytes', async () => {
    const bits = (quantity: number) => ({ kind: 'read', functionCode: 2, address: 0, quantity }) as const;
    const bus = connectTo(await serve(late(answering([2, 1, 0xff])), slowly(answering([2, 1, 0]))));
    expect(await bus.perform(UNIT, bits(8), TIMEOUT_MS)).toEqual({ kind: 'silent' });
    expect(await bus.perform(UNIT, bits(2), 500)).toEqual({ kind: 'answered', answer: [0, 0] });
  });

  it('may still come when the same question asked again had been answered by the first', async () => {
    const twice: Manner = (request, socket) => {
      good(request, socket);
      slowly(answering(FALSE_PDU))(request, socket);
    };
    const bus = connectTo(await serve(never, twice, after(160, good)));
    expect(await bus.perform(UNIT, READ, TIMEOUT_MS)).toEqual({ kind: 'silent' });
    expect(await bus.perform(UNIT, READ, 500)).toEqual(GOOD);
    expect(await bus.perform(UNIT, LOOK_ALIKE, 500)).toEqual(GOOD);
  });

  it('answers the same question, which is asked again at once', async () => {
    const bus = connectTo(await serve(late(answering(FALSE_PDU)), never));
    expect(await bus.perform(UNIT, READ, TIMEOUT_MS)).toEqual({ kind: 'silent' });
    expect(await bus.perform(UNIT, { ...READ }, PATIENT_MS)).toEqual(FALSE);
  });

  it('holds up neither another unit nor another function', async () => {
    const held = { ...READ, functionCode: 3 } as const;
    const bus = connectTo(
      await serve(late(answering(FALSE_PDU)), slowly(good), slowly(answering([3, 4, 0, 1, 0, 2]))),
    );
    expect(await bus.perform(UNIT, READ, TIMEOUT_MS)).toEqual({ kind: 'silent' });
    const beganAtMs = performance.now();
    expect(await bus.perform(OTHER_UNIT, LOOK_ALIKE, PATIENT_MS)).toEqual(GOOD);
    expect(await bus.perform(UNIT, held, PATIENT_MS)).toEqual({ kind: 'answered', answer: [1, 2] });
    expect(performance.now() - beganAtMs).toBeLessThan(PATIENT_MS / 2);
  });
});

describe('the line', () => {
  it('is asked one thing at a time, however many are wanted', async () => {
    let out = 0;
    let outMost = 0;
    const counted: Manner = (request, socket) => {
      out += 1;
      outMost = Math.max(outMost, out);
      setTimeout(() => {
        out -= 1;
        good(request, socket);
      }, 10);
    };
    const bus = connectTo(opened(await roughServer([], counted)));
    const all = await Promise.all([1, 2, 3, 4].map((unit) => bus.perform(unitId(unit), READ, PATIENT_MS)));
    expect(all).toEqual([GOOD, GOOD, GOOD, GOOD]);
    expect(outMost).toBe(1);
  });

  it('has its silence before the next request', async () => {
    const gapsMs: number[] = [];
    let answeredAtMs = Number.NEGATIVE_INFINITY;
    const timed: Manner = (request, socket) => {
      gapsMs.push(performance.now() - answeredAtMs);
      good(request, socket);
      answeredAtMs = performance.now();
    };
    const bus = connectTo(opened(await roughServer([], timed)));
    for (let asked = 0; asked < 20; asked += 1) await bus.perform(UNIT, READ, PATIENT_MS);
    // MB-SER 2.5.1.1: 3.5 characters of 11 bits at 19 200 bits a second.
    expect(Math.min(...gapsMs)).toBeGreaterThanOrEqual((3.5 * 11 * 1000) / 19_200);
  });

  it('that never falls silent carries no question, and does so again when it does', async () => {
    let babbles = true;
    const babble = (socket: Socket): void => {
      if (babbles) socket.write(Buffer.of(0xa5), () => setImmediate(babble, socket));
    };
    const asked: Buffer[] = [];
    const noted: Manner = (request, socket) => {
      asked.push(request);
      good(request, socket);
    };
    const { port } = opened(await roughServer([], noted, 0, babble));
    const address = { kind: 'rtu+tcp', host: '127.0.0.1', port } as const;
    // A silence that no hold-up of this process, which babbles as well, is taken for.
    const patient = { address: 'babbling', open: socketLine(address), silenceMs: 300, dropsUnheard: true };
    const bus = opened(rtuBus(patient, UNWATCHED));
    expect(await bus.perform(UNIT, READ, 20)).toEqual({ kind: 'mismatched', field: 'quiet' });
    expect(asked).toEqual([]);
    babbles = false;
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });
});

describe('the connection', () => {
  it('is made anew when it was closed while idle', async () => {
    const sockets: Socket[] = [];
    const watched: string[] = [];
    const bus = connectTo(
      opened(await roughServer([], good, 0, (socket) => void sockets.push(socket))),
      watched,
    );
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
    for (const socket of sockets) socket.destroy();
    // Either the close was seen already, or this request finds it out; the one after is good.
    await bus.perform(UNIT, READ, TIMEOUT_MS);
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
    expect(watched.at(0)).toBe('connected');
    expect(watched.at(1)).toMatch(/closed by the other side|ECONNRESET/u);
    expect(watched.at(2)).toBe('connected');
  });

  it('is made anew when not a byte has come for five requests', async () => {
    let connections = 0;
    const server = opened(
      await roughServer([never, never, never, never, never], good, 0, () => (connections += 1)),
    );
    const watched: string[] = [];
    const bus = connectTo(server, watched);
    for (let asked = 0; asked < 5; asked += 1)
      expect(await bus.perform(unitId(1 + asked), READ, 20)).toEqual({ kind: 'silent' });
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
    expect(connections).toBe(2);
    expect(watched).toEqual(['connected', 'no byte in 5 requests', 'connected']);
  });

  it('is tried again until somebody is there', async () => {
    const gone = await roughServer([], good);
    await gone.close();
    const watched: string[] = [];
    const bus = connectTo(gone, watched);
    expect(await bus.perform(UNIT, READ, TIMEOUT_MS)).toEqual({ kind: 'silent' });
    expect(watched).toEqual([expect.stringMatching(/^no connection: .*ECONNREFUSED/u)]);
    opened(await roughServer([], good, gone.port));
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });

  it('to a port that no longer takes any is given up in a second', async () => {
    const server = opened(await stuckServer());
    const watched: string[] = [];
    // The first few still get into the queue.
    for (let taken = 0; taken < 10 && !watched.includes('no connection: nobody took it in time'); taken += 1)
      expect(await connectTo(server, watched).perform(UNIT, READ, 20)).toEqual({ kind: 'silent' });
    expect(watched).toContain('no connection: nobody took it in time');
  });

  it('is not made again once closed, and a request that was out is over', async () => {
    let connections = 0;
    const server = opened(await roughServer([], never, 0, () => (connections += 1)));
    const watched: string[] = [];
    const bus = connectTo(server, watched);
    const asked = bus.perform(UNIT, READ, PATIENT_MS);
    const waited = bus.perform(UNIT, READ, PATIENT_MS);
    await expect.poll(() => watched).toEqual(['connected']);
    bus.close();
    expect(await asked).toEqual({ kind: 'silent' });
    expect(await waited).toEqual({ kind: 'silent' });
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual({ kind: 'silent' });
    expect(connections).toBe(1);
    expect(watched).toEqual(['connected']);
  });
});

describe('what is abandoned', () => {
  const NEVER_MS = 600_000;

  it('is silent at once, and the next in the queue goes out', async () => {
    const heard: Buffer[] = [];
    const bus = connectTo(await serve((request) => void heard.push(request)));
    const abandoned = bus.perform(OTHER_UNIT, READ, NEVER_MS);
    await expect.poll(() => heard.length).toBe(1);
    const next = bus.perform(UNIT, READ, PATIENT_MS);
    bus.abandon();
    expect([await abandoned, await next]).toEqual([{ kind: 'silent' }, GOOD]);
  });

  it('does not go out where it waited for a quiet line', async () => {
    const heard: number[] = [];
    const server = await serve(never, (request, socket) => {
      heard.push(request.readUInt16BE(2));
      good(request, socket);
    });
    const bus = connectTo(server);
    await bus.perform(UNIT, READ, TIMEOUT_MS);
    const waits = bus.perform(UNIT, LOOK_ALIKE, NEVER_MS);
    await new Promise((resolve) => setTimeout(resolve, TIMEOUT_MS));
    bus.abandon();
    expect((await waits).kind).toBe('mismatched');
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
    expect(heard).toEqual([READ.address]);
  });
});
