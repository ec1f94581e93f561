import { setTimeout } from 'node:timers/promises';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { DEFAULT_LIMITS } from '../../../sim/wire/face-limits.ts';
import { openTcpFace, PortInUse, type TcpFace, type TcpFaceOptions } from '../../../sim/wire/tcp-face.ts';
import { bytesOf, VECTORS } from '../../src/modbus/vectors.ts';
import { bytes, type RawClient, rawClient, rtu } from './raw-client.ts';
import { smallDevice, UNIT } from './small-device.ts';

const READ_TWO = [0x04, 0, 1, 0, 2] as const;
const TWO = rtu(UNIT, 0x04, 4, 0, 3, 0, 6);
/** Long enough that a test which waits for it saw it, and that a frame in pieces does not meet it. */
const QUIET_MS = 40;

let opened: TcpFace[] = [];

async function face(options: Partial<TcpFaceOptions> = {}): Promise<TcpFace> {
  const made = await openTcpFace({
    host: '127.0.0.1',
    port: 0,
    framing: 'rtu',
    serve: smallDevice().serve,
    ...options,
    limits: { quietMs: QUIET_MS, ...options.limits },
  });
  opened.push(made);
  return made;
}

async function asksAndHears(client: RawClient): Promise<void> {
  client.send(rtu(UNIT, ...READ_TWO));
  expect(await client.read(TWO.length)).toEqual(Buffer.from(TWO));
}

async function counted(made: TcpFace, expected: object): Promise<void> {
  await vi.waitFor(
    () => {
      expect(made.stats()).toMatchObject(expected);
    },
    { timeout: 30_000, interval: 5 },
  );
}

afterEach(async () => {
  await Promise.all(opened.map((one) => one.close()));
  opened = [];
});

describe('a face for RTU frames in a socket', () => {
  test('says what it speaks and where it listens, and answers there', async () => {
    const { address, stats } = await face();
    expect(address).toMatchObject({ kind: 'rtu+tcp', host: '127.0.0.1' });
    await asksAndHears(await rawClient(address.port));
    expect(stats()).toMatchObject({ connections: 1, accepted: 1, requests: 1, answers: 1 });
  });

  test.each(VECTORS)('answers MB-APP $clause one byte at a time', async ({ requestHex, responseHex }) => {
    const pdu = Array.from(bytesOf(responseHex));
    const { address } = await face({ serve: () => Uint8Array.from(pdu), limits: { quietMs: 5000 } });
    const client = await rawClient(address.port);
    for (const byte of rtu(UNIT, ...bytesOf(requestHex))) client.send(Uint8Array.of(byte));
    expect(await client.read(3 + pdu.length)).toEqual(Buffer.from(rtu(UNIT, ...pdu)));
  });

  test('answers a hundred requests sent at once in their order', async () => {
    const { address } = await face();
    const client = await rawClient(address.port);
    const counts = Array.from({ length: 100 }, (_, at) => 1 + at);
    const values = counts.map((_, at) => [(3 * at) >> 8, (3 * at) & 0xff]);
    client.send(bytes(...counts.map((count) => rtu(UNIT, 0x04, 0, 0, 0, count))));
    const said = counts.map((count) => rtu(UNIT, 0x04, 2 * count, ...values.slice(0, count).flat()));
    const expected = bytes(...said);
    expect(await client.read(expected.length)).toEqual(expected);
  });

  test('carries out a broadcast without a word', async () => {
    const device = smallDevice();
    const made = await face({ serve: device.serve });
    const client = await rawClient(made.address.port);
    client.send(rtu(0, 0x06, 0, 3, 0, 9));
    await asksAndHears(client);
    expect([device.holding[3], client.rest().length]).toEqual([9, 0]);
  });

  test('throws a broken frame away when it is quiet, with all that follows it at once', async () => {
    const made = await face();
    const client = await rawClient(made.address.port);
    const broken = rtu(UNIT, ...READ_TWO).with(7, 0);
    client.send(bytes(broken, rtu(UNIT, ...READ_TWO)));
    await counted(made, { thrownAway: 1 });
    expect(made.stats()).toMatchObject({ requests: 0, connections: 1 });
    await asksAndHears(client);
  });

  test('takes a frame whose function it does not know when it is quiet', async () => {
    const { address } = await face();
    const client = await rawClient(address.port);
    client.send(rtu(UNIT, 0x42, 1, 2, 3));
    expect(await client.read(5)).toEqual(Buffer.from(rtu(UNIT, 0xc2, 1)));
  });

  test('waits with a frame in pieces for longer than an acknowledgement that is delayed', async () => {
    const { address } = await face({ limits: { quietMs: DEFAULT_LIMITS.quietMs } });
    const client = await rawClient(address.port);
    for (let tries = 0; tries < 5; tries += 1) {
      client.send(rtu(UNIT, ...READ_TWO).subarray(0, 3));
      await setTimeout(40);
      client.send(rtu(UNIT, ...READ_TWO).subarray(3));
      expect(await client.read(TWO.length)).toEqual(Buffer.from(TWO));
    }
  });

  test('closes a connection on which a frame does not end, however it keeps the quiet away', async () => {
    const made = await face({ limits: { halfFrameMs: 100, quietMs: 60_000 } });
    const client = await rawClient(made.address.port);
    await asksAndHears(client);
    const noise = setInterval(() => {
      client.send(Uint8Array.of(1, 2, 3));
    }, 5);
    await client.gone;
    clearInterval(noise);
    await counted(made, { halfFrames: 1, connections: 0 });
  });

  test('sends an answer that is disturbed, and hangs up where the fault says so', async () => {
    const silences: number[] = [];
    const made = await face({
      serve: () => ({
        emission(framing) {
          silences.push(framing.kind === 'rtu' ? framing.silenceMs : Number.NaN);
          const parts = [0, 20].map((afterMs) => ({ afterMs, bytes: Uint8Array.of(afterMs) }));
          return { parts, hangsUp: true };
        },
      }),
    });
    const client = await rawClient(made.address.port);
    client.send(rtu(UNIT, ...READ_TWO));
    await client.gone;
    expect([...client.rest()]).toEqual([0, 20]);
    expect(silences).toEqual([2]);
  });

  test('says whose port it was when the port is in use', async () => {
    const { address } = await face();
    await expect(face({ port: address.port })).rejects.toBeInstanceOf(PortInUse);
  });
});
