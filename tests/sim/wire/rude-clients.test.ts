/** Clients that overdo it are cut off, and one that behaves does not notice. */
import { afterEach, describe, expect, test, vi } from 'vitest';
import { openTcpFace, type TcpFace, type TcpFaceOptions } from '../../../sim/wire/tcp-face.ts';
import { frame, type RawClient, rawClient, rtu } from './raw-client.ts';
import { smallDevice, UNIT } from './small-device.ts';

const FRAMINGS = ['mbap', 'rtu'] as const;
type Framing = (typeof FRAMINGS)[number];

const READ_TWO = [0x04, 0, 1, 0, 2] as const;
const TWO = [0x04, 4, 0, 3, 0, 6] as const;
/** The longest answer there is. */
const READ_MOST = [0x04, 0, 0, 0, 125] as const;
/** Far more than an exchange takes on a loaded machine, far less than a wait for somebody else. */
const UNNOTICED_MS = 3000;

let opened: TcpFace[] = [];

async function face(framing: Framing, limits: TcpFaceOptions['limits'] = {}): Promise<TcpFace> {
  const { serve } = smallDevice();
  const made = await openTcpFace({ host: '127.0.0.1', port: 0, framing, serve, limits });
  opened.push(made);
  return made;
}

afterEach(async () => {
  await Promise.all(opened.map((one) => one.close()));
  opened = [];
});

function framed(framing: Framing, id: number, pdu: readonly number[]): Uint8Array {
  return framing === 'mbap' ? frame(id, UNIT, ...pdu) : rtu(UNIT, ...pdu);
}

/** Asks again and again until told to stop, and counts; throws when an answer is wrong or the line ends. */
function poll(client: RawClient, framing: Framing) {
  let going = true;
  let count = 0;
  let slowestMs = 0;
  const run = async (): Promise<void> => {
    while (going) {
      const askedMs = performance.now();
      client.send(framed(framing, count & 0xffff, READ_TWO));
      const expected = Buffer.from(framed(framing, count & 0xffff, TWO));
      expect(await client.read(expected.length)).toEqual(expected);
      slowestMs = Math.max(slowestMs, performance.now() - askedMs);
      count += 1;
    }
  };
  const done = run();
  return {
    count: () => count,
    async stop() {
      going = false;
      await done;
      return slowestMs;
    },
  };
}

async function counted(made: TcpFace, expected: object): Promise<void> {
  await vi.waitFor(
    () => {
      expect(made.stats()).toMatchObject(expected);
    },
    { timeout: 60_000, interval: 5 },
  );
}

describe.each(FRAMINGS)('on a face of %s frames', (framing) => {
  test('a client that never reads is cut off, and another does not notice', async () => {
    const made = await face(framing, { unreadMs: 300 });
    const polling = poll(await rawClient(made.address.port), framing);
    const rude = await rawClient(made.address.port, { paused: true });
    const request = framed(framing, 1, READ_MOST);
    const flood = Buffer.concat(Array.from({ length: 2000 }, () => request));
    const flooding = setInterval(() => {
      if (rude.socket.writableLength === 0) rude.send(flood);
    }, 1);
    await counted(made, { unread: 1, connections: 1 });
    clearInterval(flooding);
    const asked = polling.count();
    await vi.waitFor(() => {
      expect(polling.count()).toBeGreaterThan(asked + 10);
    });
    expect(await polling.stop()).toBeLessThan(UNNOTICED_MS);
    rude.socket.destroy();
  });

  test('one that opens 500 connections with half a frame on each is cut off, and another does not notice', async () => {
    // The quiet would end an RTU frame before its time is up; a client that wants to hold on keeps it away.
    const made = await face(framing, { halfFrameMs: 300, quietMs: 60_000 });
    const client = await rawClient(made.address.port);
    // It has polled and is between two polls while all of them connect.
    const polled = poll(client, framing);
    await vi.waitFor(() => {
      expect(polled.count()).toBeGreaterThan(0);
    });
    await polled.stop();
    const connecting = Array.from({ length: 500 }, async () => {
      const one = await rawClient(made.address.port);
      one.send(framed(framing, 1, READ_TWO).subarray(0, 3));
      return one;
    });
    const rude = await Promise.all(connecting);
    await counted(made, { accepted: 501 });
    const polling = poll(client, framing);
    await Promise.all(rude.map(({ gone }) => gone));
    expect(await polling.stop()).toBeLessThan(UNNOTICED_MS);
    const { halfFrames, evicted, connections, accepted } = made.stats();
    expect([halfFrames + evicted, connections, accepted]).toEqual([500, 1, 501]);
    expect(Math.min(halfFrames, evicted)).toBeGreaterThan(0);
  });
});
