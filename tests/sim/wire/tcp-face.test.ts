import { setTimeout } from 'node:timers/promises';
import { afterEach, describe, expect, test, vi } from 'vitest';
import {
  openTcpFace,
  PortInUse,
  type TcpFace,
  type TcpFaceOptions,
  type TcpFaceStats,
} from '../../../sim/wire/tcp-face.ts';
import { bytesOf, VECTORS } from '../../src/modbus/vectors.ts';
import { bytes, frame, framesOf, type RawClient, rawClient } from './raw-client.ts';
import { smallDevice, UNIT } from './small-device.ts';

const READ_TWO = [0x04, 0, 1, 0, 2] as const;
const TWO = [0x04, 4, 0, 3, 0, 6] as const;
const TWO_BYTES = 7 + TWO.length;
/** The longest answer there is: 125 registers, 259 bytes with its header. */
const READ_MOST = [0x04, 0, 0, 0, 125] as const;
const MOST_BYTES = 7 + 2 + 250;

let opened: TcpFace[] = [];

async function face(options: Partial<TcpFaceOptions> = {}): Promise<TcpFace> {
  const made = await openTcpFace({ host: '127.0.0.1', port: 0, serve: smallDevice().serve, ...options });
  opened.push(made);
  return made;
}

async function asksAndHears(client: RawClient, id = 1): Promise<void> {
  client.send(frame(id, UNIT, ...READ_TWO));
  expect(framesOf(await client.read(TWO_BYTES))).toEqual([[id, UNIT, ...TWO]]);
}

/** The face's end of a connection closes a moment after the client's: waits for it, and only for so long. */
async function counted(stats: TcpFace['stats'], expected: Partial<TcpFaceStats>): Promise<void> {
  const check = () => {
    expect(stats()).toMatchObject(expected);
  };
  await vi.waitFor(check, { timeout: 30_000, interval: 5 });
}

afterEach(async () => {
  await Promise.all(opened.map((one) => one.close()));
  opened = [];
});

describe('a Modbus TCP face', () => {
  test('says where it listens and answers there', async () => {
    const { address, stats } = await face();
    expect(address.host).toBe('127.0.0.1');
    await asksAndHears(await rawClient(address.port), 0x1501);
    expect(stats()).toMatchObject({ connections: 1, accepted: 1, requests: 1, answers: 1 });
  });

  test.each(VECTORS)('answers MB-APP $clause one byte at a time', async ({ requestHex, responseHex }) => {
    const pdu = Array.from(bytesOf(responseHex));
    const { address } = await face({ serve: () => Uint8Array.from(pdu) });
    const client = await rawClient(address.port);
    for (const byte of frame(3, UNIT, ...bytesOf(requestHex))) client.send(Uint8Array.of(byte));
    expect(framesOf(await client.read(7 + pdu.length))).toEqual([[3, UNIT, ...pdu]]);
  });

  test('answers a hundred requests sent at once in their order', async () => {
    const { address } = await face();
    const client = await rawClient(address.port);
    const ids = Array.from({ length: 100 }, (_, id) => id);
    client.send(bytes(...ids.map((id) => frame(id, UNIT, ...READ_TWO))));
    expect(framesOf(await client.read(100 * TWO_BYTES))).toEqual(ids.map((id) => [id, UNIT, ...TWO]));
  });

  test('lets a unit that nobody owns stay silent, and the next one answer', async () => {
    const { address } = await face();
    const client = await rawClient(address.port);
    client.send(frame(1, 12, ...READ_TWO));
    await asksAndHears(client, 2);
    expect(client.rest()).toHaveLength(0);
  });

  test('closes a connection whose length makes no sense, after the answers it still owes', async () => {
    const { address, stats } = await face();
    const client = await rawClient(address.port);
    client.send(bytes(frame(1, UNIT, ...READ_TWO), Uint8Array.of(0, 2, 0, 0, 0, 0)));
    await client.gone;
    expect(framesOf(client.rest())).toEqual([[1, UNIT, ...TWO]]);
    await counted(stats, { lostSync: 1, connections: 0 });
  });

  test('says whose port it was when the port is in use', async () => {
    const { address } = await face();
    const error = await face({ port: address.port }).catch((reason: unknown) => reason);
    expect(error).toBeInstanceOf(PortInUse);
    expect(error).toMatchObject({ host: '127.0.0.1', port: address.port });
  });

  test("rejects with the system's own error where it cannot listen at all", async () => {
    // 192.0.2.0/24 is reserved for documentation (RFC 5737): no machine has it.
    await expect(face({ host: '192.0.2.1' })).rejects.toMatchObject({ code: 'EADDRNOTAVAIL' });
  });

  test('ends every connection when it is closed, and may be closed twice', async () => {
    const made = await face();
    const clients = await Promise.all([rawClient(made.address.port), rawClient(made.address.port)]);
    await asksAndHears(clients[0]);
    await Promise.all([made.close(), made.close()]);
    await Promise.all(clients.map(({ gone }) => gone));
    await counted(made.stats, { connections: 0 });
    await expect(rawClient(made.address.port)).rejects.toMatchObject({ code: 'ECONNREFUSED' });
  });

  test('outlives a client that resets its connection', async () => {
    const made = await face();
    const client = await rawClient(made.address.port);
    await asksAndHears(client);
    client.send(frame(2, UNIT, ...READ_MOST));
    client.socket.resetAndDestroy();
    await counted(made.stats, { connections: 0 });
    await asksAndHears(await rawClient(made.address.port));
  });
});

describe('who may connect', () => {
  test('is anybody without a list', async () => {
    const { address } = await face();
    await asksAndHears(await rawClient(address.port, { localAddress: '127.0.0.2' }));
  });

  test('is those on the list; others are closed without a word', async () => {
    const { address, stats } = await face({ allow: ['127.0.0.2', '::1'] });
    const stranger = await rawClient(address.port);
    await stranger.gone;
    expect(stranger.rest()).toHaveLength(0);
    await asksAndHears(await rawClient(address.port, { localAddress: '127.0.0.2' }));
    await counted(stats, { refused: 1, accepted: 1, connections: 1 });
  });

  test('is an IPv4 peer by its own address on an IPv6 socket too', async () => {
    const { address } = await face({ host: '::ffff:127.0.0.1', allow: ['127.0.0.1'] });
    await asksAndHears(await rawClient(address.port));
  });
});

describe('the limits of a face', () => {
  test('closes the connection unused for longest when one more comes (MB-TCP)', async () => {
    const { address, stats } = await face({ limits: { connectionsMax: 2 } });
    const [first, second] = [await rawClient(address.port), await rawClient(address.port)];
    await asksAndHears(first);
    await asksAndHears(second);
    await asksAndHears(first);
    const third = await rawClient(address.port);
    await second.gone;
    await asksAndHears(first);
    await asksAndHears(third);
    expect(stats()).toMatchObject({ evicted: 1, accepted: 3, connections: 2 });
  });

  test.each([
    ['a header', 3],
    ['a body', 9],
  ])('closes a connection on which half of %s waits too long', async (_, length) => {
    const { address, stats } = await face({ limits: { halfFrameMs: 30 } });
    const client = await rawClient(address.port);
    await asksAndHears(client);
    client.send(frame(2, UNIT, ...READ_TWO).subarray(0, length));
    await client.gone;
    await counted(stats, { halfFrames: 1, connections: 0 });
  });

  test('gives a frame no more time for coming byte by byte', async () => {
    const { address, stats } = await face({ limits: { halfFrameMs: 60 } });
    const client = await rawClient(address.port);
    const longest = frame(1, UNIT, ...Array.from({ length: 253 }, () => 0));
    let sent = 0;
    const dribble = setInterval(() => {
      client.send(longest.subarray(sent, sent + 1));
      sent += 1;
    }, 10);
    await client.gone;
    clearInterval(dribble);
    await counted(stats, { halfFrames: 1, requests: 0 });
  });

  test('leaves a connection alone on which nothing waits, however long it is quiet', async () => {
    const { address, stats } = await face({ limits: { halfFrameMs: 20, unreadMs: 20 } });
    const quiet = await rawClient(address.port);
    await asksAndHears(quiet);
    const slow = await rawClient(address.port);
    slow.send(Uint8Array.of(0));
    await slow.gone;
    await asksAndHears(quiet, 2);
    await counted(stats, { connections: 1, halfFrames: 1 });
  });

  test('stops reading from a client that does not read, and goes on when it does', async () => {
    // A frame that the pause cut in two is not the client's fault: its time limit is shorter than the pause.
    const { address, stats } = await face({ limits: { unreadMs: 60_000, halfFrameMs: 1000 } });
    const client = await rawClient(address.port, { paused: true });
    // 15 MB of answers: more than the system's own buffers take while nobody reads.
    const total = 60_000;
    client.send(pipelined(0, total));
    expect(await atRest(() => stats().requests)).toBeLessThan(total);
    await setTimeout(1500);
    client.socket.resume();
    const answers = framesOf(await client.read(total * MOST_BYTES));
    expect(answers).toHaveLength(total);
    expect(answers.every(([id], index) => id === index % 0x10000)).toBe(true);
    expect(stats()).toMatchObject({ requests: total, unread: 0, halfFrames: 0 });
  });

  test('closes a client that never reads', async () => {
    const { address, stats } = await face({ limits: { unreadMs: 50 } });
    const client = await rawClient(address.port, { paused: true });
    const flood = setInterval(() => {
      if (client.socket.writableLength === 0) client.send(pipelined(0, 2000));
    }, 1);
    await counted(stats, { unread: 1, connections: 0 });
    clearInterval(flood);
    client.socket.destroy();
    await asksAndHears(await rawClient(address.port));
  });
});

/** Requests for the longest answer, one transaction id after the other. */
function pipelined(from: number, count: number): Buffer {
  return bytes(...Array.from({ length: count }, (_, at) => frame((from + at) & 0xffff, UNIT, ...READ_MOST)));
}

/** The count once it has moved and come to rest: the same twice, a while apart. */
async function atRest(count: () => number): Promise<number> {
  let seen = 0;
  for (;;) {
    await setTimeout(100);
    if (count() === seen && seen > 0) return seen;
    seen = count();
  }
}
