/**
 * The guard around modbus-serial: whatever a server does on the wire, a poll comes out as silent, refused or
 * mismatched, never as a wrong number and never as a crash; and the next good poll works again.
 */
import { once } from 'node:events';
import { createServer, type Server, type Socket } from 'node:net';
import { afterEach, expect, test } from 'vitest';
import { UNWATCHED } from '../../../src/line/index.ts';
import { type BusClient, busClient } from '../../../src/supervisor/bus-client.ts';
import { unitId } from '../../../src/units/index.ts';

const UNIT = unitId(11);
const READ = { kind: 'read', functionCode: 4, address: 0, quantity: 2 } as const;
const TIMEOUT_MS = 150;
const GOOD = [0x1234, 0x00ff];

/** What a server does with a request: it is given the request's bytes and the socket. */
type Manner = (request: Buffer, socket: Socket) => void;

let server: Server | undefined;
let client: BusClient | undefined;
const sockets = new Set<Socket>();

afterEach(async () => {
  client?.close();
  for (const socket of sockets) socket.destroy();
  const closing = server;
  server = undefined;
  if (closing?.listening !== true) return;
  closing.close();
  await once(closing, 'close');
});

/** MBAP with the request's transaction and unit, then the PDU. */
function frame(
  request: Buffer,
  pdu: readonly number[],
  change: { transaction?: number; unit?: number } = {},
): Buffer {
  const head = Buffer.alloc(7);
  head.writeUInt16BE(change.transaction ?? request.readUInt16BE(0), 0);
  head.writeUInt16BE(pdu.length + 1, 4);
  head[6] = change.unit ?? request.readUInt8(6);
  return Buffer.concat([head, Buffer.from(pdu)]);
}

const goodPdu = [4, 4, 0x12, 0x34, 0x00, 0xff];
const good: Manner = (request, socket) => void socket.write(frame(request, goodPdu));
const answering =
  (pdu: readonly number[], change?: { transaction?: number; unit?: number }): Manner =>
  (request, socket) =>
    void socket.write(frame(request, pdu, change));

/** A server that treats its requests in these manners in turn, and well ever after. */
async function serve(...manners: readonly Manner[]): Promise<number> {
  const left = [...manners];
  server = createServer((socket) => {
    sockets.add(socket);
    socket.on('error', () => undefined);
    socket.on('data', (request) => {
      (left.shift() ?? good)(request, socket);
    });
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  return (server.address() as { port: number }).port;
}

function connectTo(port: number): BusClient {
  client = busClient({ kind: 'tcp', host: '127.0.0.1', port }, UNWATCHED);
  return client;
}

const MANNERS: readonly (readonly [name: string, manner: Manner, outcomes: readonly string[]])[] = [
  ['no answer', () => undefined, ['silent']],
  ['a wrong unit', answering(goodPdu, { unit: 12 }), ['mismatched']],
  ['a wrong transaction', answering(goodPdu, { transaction: 0x4242 }), ['silent']],
  ['a wrong function', answering([3, 4, 0x12, 0x34, 0x00, 0xff]), ['mismatched']],
  ['too few words', answering([4, 2, 0x12, 0x34]), ['mismatched']],
  ['too many words', answering([4, 6, 1, 2, 3, 4, 5, 6]), ['mismatched']],
  ['a byte count that lies low', answering([4, 2, 0x12, 0x34, 0x00, 0xff]), ['mismatched']],
  ['a byte count that lies high', answering([4, 250, 0x12, 0x34, 0x00, 0xff]), ['mismatched']],
  ['a short frame', answering([4]), ['mismatched', 'silent']],
  ['an empty frame', (request, socket) => void socket.write(frame(request, [])), ['mismatched', 'silent']],
  ['garbage', (_, socket) => void socket.write(Buffer.alloc(64, 0xa5)), ['mismatched', 'silent']],
  ['exception 02', answering([0x84, 2]), ['refused']],
  ['exception 0B', answering([0x84, 0x0b]), ['refused']],
  [
    'half an answer, then nothing',
    (request, socket) => void socket.write(frame(request, goodPdu).subarray(0, 9)),
    ['silent'],
  ],
  [
    'half an answer, then a reset',
    (request, socket) => {
      socket.write(frame(request, goodPdu).subarray(0, 9), () => socket.resetAndDestroy());
    },
    ['silent', 'mismatched'],
  ],
  ['a close', (_, socket) => void socket.end(), ['silent', 'mismatched']],
];

test.each(MANNERS)(
  '%s is never taken for a reading, and the next good answer is',
  async (_, manner, outcomes) => {
    const bus = connectTo(await serve(manner));
    const outcome = await bus.perform(UNIT, READ, TIMEOUT_MS);
    expect(outcomes).toContain(outcome.kind);
    expect(await bus.perform(UNIT, READ, 1000)).toEqual({ kind: 'answered', answer: GOOD });
  },
);

test('an answer that comes during the next request is not taken for it', async () => {
  let late: (() => void) | undefined;
  const port = await serve(
    (request, socket) => {
      late = () => socket.write(frame(request, [4, 4, 0xde, 0xad, 0xbe, 0xef]));
    },
    (request, socket) => {
      late?.();
      good(request, socket);
    },
  );
  const bus = connectTo(port);
  expect(await bus.perform(UNIT, READ, TIMEOUT_MS)).toEqual({ kind: 'silent' });
  expect(await bus.perform(UNIT, READ, 1000)).toEqual({ kind: 'answered', answer: GOOD });
});

test('a connection that was closed while idle is made anew', async () => {
  const bus = connectTo(await serve());
  expect(await bus.perform(UNIT, READ, 1000)).toMatchObject({ kind: 'answered' });
  for (const socket of sockets) socket.destroy();
  // Either the close was seen already, or this request finds it out; the one after is good.
  await bus.perform(UNIT, READ, TIMEOUT_MS);
  expect(await bus.perform(UNIT, READ, 1000)).toEqual({ kind: 'answered', answer: GOOD });
});

test('a bus that nobody serves is silent, and heard as soon as somebody does', async () => {
  const port = await serve();
  server?.close();
  const bus = connectTo(port);
  expect(await bus.perform(UNIT, READ, TIMEOUT_MS)).toEqual({ kind: 'silent' });
  server = createServer((socket) => {
    sockets.add(socket);
    socket.on('data', (request) => {
      good(request, socket);
    });
  });
  server.listen(port, '127.0.0.1');
  await once(server, 'listening');
  expect(await bus.perform(UNIT, READ, 1000)).toMatchObject({ kind: 'answered' });
});

test('bits are cut to what was asked, and writes must be echoed', async () => {
  const bus = connectTo(
    await serve(
      answering([1, 2, 0x05, 0x02]),
      answering([1, 1, 0x05]),
      answering([15, 0, 0, 0, 3]),
      answering([15, 0, 1, 0, 3]),
    ),
  );
  const readCoils = { kind: 'read', functionCode: 1, address: 0, quantity: 10 } as const;
  const write = { kind: 'writeMany', functionCode: 15, address: 0, values: Uint16Array.of(1, 0, 1) } as const;
  expect(await bus.perform(UNIT, readCoils, 1000)).toEqual({
    kind: 'answered',
    answer: [1, 0, 1, 0, 0, 0, 0, 0, 0, 1],
  });
  expect((await bus.perform(UNIT, readCoils, TIMEOUT_MS)).kind).toBe('mismatched');
  expect(await bus.perform(UNIT, write, 1000)).toMatchObject({ kind: 'answered' });
  expect((await bus.perform(UNIT, write, TIMEOUT_MS)).kind).toBe('mismatched');
});
