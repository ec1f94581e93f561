/**
 * The exchange against servers that answer late, twice, in pieces or not at all: what it says is what a
 * careful client may say. In Modbus TCP and in RTU frames.
 */
import { once } from 'node:events';
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterEach, describe, expect, test } from 'vitest';
import { encodeFrame, encodeRtu, mbapParser, type Request } from '../../../src/modbus/index.ts';
import type { BusAddress } from '../../../src/rig/index.ts';
import { type Exchange, exchangeOn } from '../../../src/survey/index.ts';
import { unitId } from '../../../src/units/index.ts';

const READ: Request = { kind: 'read', functionCode: 4, address: 0, quantity: 1 };
const OTHER: Request = { kind: 'read', functionCode: 4, address: 5, quantity: 1 };
const IDENTIFY: Request = { kind: 'identify', functionCode: 43, readCode: 2, objectId: 0 };
/** Object 0 is "A", and more would follow at object 1: at this modbus-serial's client ends the process. */
const MORE_FOLLOWS = Uint8Array.of(0x2b, 0x0e, 2, 2, 0xff, 1, 1, 0, 1, 0x41);
const UNIT = unitId(9);
const TIMEOUT_MS = 150;
/** How long after the one before, and what it says; the last comes when nobody listens on any more. */
const THREE_TALKERS = [
  [0, 1],
  [15, 2],
  [100, 3],
] as const;
const answerOf = (value: number) => Uint8Array.of(4, 2, 0, value);

const closers: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0).reverse()) await close();
});

interface Asked {
  readonly frame: (pdu: Uint8Array, unit?: number) => Uint8Array;
  readonly write: (bytes: Uint8Array) => void;
  readonly hangUp: () => void;
  /** Counted from 1, over all connections. */
  readonly count: number;
  readonly connection: number;
}

async function serverOf(kind: 'tcp' | 'rtu+tcp', answer: (asked: Asked) => unknown): Promise<Exchange> {
  let [count, connections] = [0, 0];
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    connections += 1;
    const connection = connections;
    socket.on('error', () => undefined);
    const parser = mbapParser();
    socket.on('data', (chunk) => {
      const told = {
        write: (bytes: Uint8Array) => void socket.write(bytes),
        hangUp: () => void socket.end(),
      };
      if (kind === 'rtu+tcp') {
        count += 1;
        answer({ ...told, count, connection, frame: (pdu, unit = chunk[0] ?? 0) => encodeRtu(unit, pdu) });
        return;
      }
      parser.feed(chunk);
      for (let frame = parser.next(); frame?.kind === 'frame'; frame = parser.next()) {
        const { transactionId, unitId: own } = frame;
        count += 1;
        const framed = (pdu: Uint8Array, unit: number = own) => encodeFrame(transactionId, unitId(unit), pdu);
        answer({ ...told, count, connection, frame: framed });
      }
    });
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  const address: BusAddress = { kind, host: '127.0.0.1', port };
  const exchange = exchangeOn(address);
  closers.push(
    () => {
      server.close();
      for (const socket of sockets) socket.destroy();
    },
    () => {
      exchange.close();
    },
  );
  return exchange;
}

const read = (value: number) => ({
  kind: 'answered',
  answer: { kind: 'read', functionCode: 4, values: Uint16Array.of(value) },
});

describe.each(['tcp', 'rtu+tcp'] as const)('%s', (kind) => {
  test('an answer comes whole, however it is cut', async () => {
    const exchange = await serverOf(kind, async ({ frame, write }) => {
      for (const byte of frame(answerOf(7))) {
        write(Uint8Array.of(byte));
        await sleep(2);
      }
    });
    expect(await exchange.ask(UNIT, READ, TIMEOUT_MS)).toEqual(read(7));
  });

  test('identification that says "more follows" is an answer like any', async () => {
    const exchange = await serverOf(kind, ({ frame, write }) => {
      write(frame(MORE_FOLLOWS));
    });
    expect(await exchange.ask(UNIT, IDENTIFY, TIMEOUT_MS)).toMatchObject({
      kind: 'answered',
      answer: { nextObjectId: 1, objects: [{ id: 0 }] },
    });
  });

  test('an exception is a refusal', async () => {
    const exchange = await serverOf(kind, ({ frame, write }) => {
      write(frame(Uint8Array.of(0x84, 2)));
    });
    expect(await exchange.ask(UNIT, READ, TIMEOUT_MS)).toEqual({ kind: 'refused', exception: 2 });
  });

  test('an exception that no standard has is no answer', async () => {
    const exchange = await serverOf(kind, ({ frame, write }) => {
      write(frame(Uint8Array.of(0x84, 0x84)));
    });
    expect(await exchange.ask(UNIT, READ, TIMEOUT_MS)).toMatchObject({ kind: 'mismatched' });
  });

  test('nothing is silence, another unit is a mismatch, noise is a mismatch', async () => {
    const says: readonly ((asked: Asked) => Uint8Array)[] = [
      () => new Uint8Array(0),
      ({ frame }) => frame(answerOf(1), 10),
      () => Uint8Array.from({ length: 40 }, (_, at) => (at * 37) & 0xff),
    ];
    const exchange = await serverOf(kind, (asked) => {
      const bytes = says[asked.count - 1]?.(asked) ?? new Uint8Array(0);
      if (bytes.length > 0) asked.write(bytes);
    });
    const kinds = [];
    while (kinds.length < says.length) kinds.push((await exchange.ask(UNIT, READ, TIMEOUT_MS)).kind);
    expect(kinds).toEqual(['silent', 'mismatched', 'mismatched']);
  });

  test('a second answer is heard only where it is listened for', async () => {
    const exchange = await serverOf(kind, async ({ frame, write }) => {
      write(frame(answerOf(1)));
      await sleep(15);
      write(frame(answerOf(2)));
    });
    expect(await exchange.ask(UNIT, READ, TIMEOUT_MS, true)).toEqual({
      kind: 'mismatched',
      field: 'two answers to one request',
    });
  });

  test('where two answered one question, what a third says later answers no other', async () => {
    const exchange = await serverOf(kind, async ({ frame, write, count }) => {
      for (const [waitMs, value] of count === 1 ? THREE_TALKERS : [[90, 9] as const]) {
        await sleep(waitMs);
        write(frame(answerOf(value)));
      }
    });
    expect((await exchange.ask(UNIT, READ, TIMEOUT_MS, true)).kind).toBe('mismatched');
    expect(await exchange.ask(UNIT, OTHER, TIMEOUT_MS)).toEqual(read(9));
  });

  test('the late answer to one question never answers another', async () => {
    const exchange = await serverOf(kind, async ({ frame, write, count }) => {
      // The first comes just after it was given up, the second in time.
      await sleep(count === 1 ? TIMEOUT_MS + 60 : 90);
      write(frame(answerOf(count)));
    });
    expect((await exchange.ask(UNIT, READ, TIMEOUT_MS)).kind).toBe('silent');
    expect(await exchange.ask(UNIT, OTHER, TIMEOUT_MS)).toEqual(read(2));
  });

  test('nor does the answer to a question that was put twice and answered once', async () => {
    const exchange = await serverOf(kind, async ({ frame, write, count }) => {
      // In RTU the first answers the second; that of the second comes while the third is out, before its own.
      await sleep([TIMEOUT_MS + 40, 120][count - 1] ?? 110);
      write(frame(answerOf(count)));
    });
    expect((await exchange.ask(UNIT, READ, TIMEOUT_MS)).kind).toBe('silent');
    expect((await exchange.ask(UNIT, READ, TIMEOUT_MS)).kind).toBe('answered');
    expect(await exchange.ask(UNIT, OTHER, TIMEOUT_MS)).toEqual(read(3));
  });

  test('a connection that is cut at a question is silence, and the next question has a new one', async () => {
    const exchange = await serverOf(kind, ({ frame, write, hangUp, count, connection }) => {
      if (count === 1) hangUp();
      else write(frame(answerOf(connection)));
    });
    expect((await exchange.ask(UNIT, READ, TIMEOUT_MS)).kind).toBe('silent');
    expect(await exchange.ask(UNIT, READ, TIMEOUT_MS)).toEqual(read(2));
  });

  test('a line that nobody listens on is lost, with the reason', async () => {
    const exchange = exchangeOn({ kind, host: '127.0.0.1', port: 1 });
    expect(await exchange.ask(UNIT, READ, TIMEOUT_MS)).toMatchObject({
      kind: 'lost',
      reason: expect.stringContaining('ECONNREFUSED') as string,
    });
  });

  test('after it was closed nothing is asked any more', async () => {
    let asked = 0;
    const exchange = await serverOf(kind, () => (asked += 1));
    exchange.close();
    expect((await exchange.ask(UNIT, READ, TIMEOUT_MS)).kind).toBe('lost');
    expect(asked).toBe(0);
  });
});

test('over Modbus TCP each question has a number of its own, and a new connection after a silence', async () => {
  const connections: number[] = [];
  const exchange = await serverOf('tcp', ({ frame, write, count, connection }) => {
    connections.push(connection);
    if (count !== 2) write(frame(answerOf(count)));
  });
  for (const request of [READ, READ, READ]) await exchange.ask(UNIT, request, TIMEOUT_MS);
  expect(connections).toEqual([1, 1, 2]);
});

test('noise before an RTU answer does not spoil it', async () => {
  const exchange = await serverOf('rtu+tcp', ({ frame, write }) => {
    write(Uint8Array.of(0, 0xff, ...frame(answerOf(5))));
  });
  expect(await exchange.ask(UNIT, READ, TIMEOUT_MS, true)).toEqual(read(5));
});
