/** Our Modbus TCP face before judges that are not ours: libmodbus, pymodbus and tshark. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Serve } from '../../sim/wire/mbap-dialogue.ts';
import { openTcpFace, type TcpFace } from '../../sim/wire/tcp-face.ts';
import { bytes, frame, rawClient } from '../sim/wire/raw-client.ts';
import { smallDevice, UNIT } from '../sim/wire/small-device.ts';
import { askWith, type OutsideClient, requireTool, startCapture, stopCapture } from './outside-tools.ts';

const HOST = '127.0.0.1';

let face: TcpFace | undefined;

async function open(serve: Serve): Promise<TcpFace> {
  face = await openTcpFace({ host: HOST, port: 0, serve });
  return face;
}

afterEach(async () => {
  await face?.close();
});

/** [function, address, count, values to write], and what must come of it, in this order. */
const CONVERSATION = [
  [{ functionCode: 15, address: 0, count: 3, values: [0, 0, 1] }, { values: [0, 0, 1] }],
  [{ functionCode: 1, address: 0, count: 3 }, { values: [0, 0, 1] }],
  [{ functionCode: 2, address: 0, count: 9 }, { values: [1, 0, 1, 0, 1, 0, 1, 0, 1] }],
  [{ functionCode: 4, address: 1, count: 5 }, { values: [3, 6, 9, 12, 15] }],
  [{ functionCode: 4, address: 0, count: 125 }, { values: Array.from({ length: 125 }, (_, at) => 3 * at) }],
  [{ functionCode: 5, address: 1, count: 1, values: [1] }, { values: [1] }],
  [{ functionCode: 15, address: 4, count: 10, values: [1, 0, 1, 1, 0, 0, 1, 1, 1, 0] }, {}],
  [{ functionCode: 1, address: 0, count: 16 }, { values: [0, 1, 1, 0, 1, 0, 1, 1, 0, 0, 1, 1, 1, 0, 0, 0] }],
  [{ functionCode: 6, address: 2, count: 1, values: [65535] }, { values: [65535] }],
  [{ functionCode: 16, address: 3, count: 2, values: [10, 258] }, { values: [10, 258] }],
  [{ functionCode: 3, address: 1, count: 4 }, { values: [0, 65535, 10, 258] }],
  [{ functionCode: 4, address: 124, count: 2 }, { exception: 2 }],
  [{ functionCode: 6, address: 16, count: 1, values: [1] }, { exception: 2 }],
] as const;

/** Each client has the whole conversation with the face; returns how many requests that were. */
async function converse(client: OutsideClient, port: number): Promise<number> {
  for (const [request, expected] of CONVERSATION) {
    const answer = await askWith(client, { host: HOST, port, unit: UNIT, ...request });
    expect(answer, `${client}, function ${request.functionCode}`).toMatchObject(expected);
    expect(answer).not.toHaveProperty('error');
  }
  return CONVERSATION.length;
}

describe.each(['libmodbus', 'pymodbus'] as const)('%s', (client) => {
  beforeEach((context) =>
    requireTool(context, ...(client === 'libmodbus' ? (['gcc', client] as const) : [client])),
  );

  test('reads and writes every table, and is refused outside the map', async () => {
    const { address, stats } = await open(smallDevice().serve);
    const asked = await converse(client, address.port);
    expect(stats()).toMatchObject({ requests: asked, answers: asked, lostSync: 0, foreignFrames: 0 });
  });

  test('hears nothing from a unit that nobody owns, and waits in vain', async () => {
    const { address, stats } = await open(smallDevice().serve);
    const nobody = { host: HOST, port: address.port, unit: 12, functionCode: 4, address: 0, count: 1 };
    expect(await askWith(client, nobody)).toHaveProperty('error');
    expect(stats()).toMatchObject({ requests: 1, answers: 0 });
  });
});

describe('tshark', () => {
  beforeEach((context) => requireTool(context, 'tshark', 'gcc', 'libmodbus', 'pymodbus'));

  test('takes apart every request and answer, cut and pipelined too, none malformed', async () => {
    const { address, stats } = await open(smallDevice().serve);
    const capture = await startCapture(address.port);
    const byClients =
      (await converse('libmodbus', address.port)) + (await converse('pymodbus', address.port));

    const client = await rawClient(address.port);
    const requests = Array.from({ length: 40 }, (_, id) => frame(id, UNIT, 0x04, 0, 0, 0, 1 + id));
    client.send(bytes(...requests.slice(0, 20)));
    // Frames of 12 bytes in pieces of 20; tshark itself finds no frame in a piece of fewer than 8.
    const rest = bytes(...requests.slice(20));
    for (let at = 0; at < rest.length; at += 20) client.send(rest.subarray(at, at + 20));
    await client.read(requests.reduce((sum, _, id) => sum + 9 + 2 * (1 + id), 0));

    const decoded = await stopCapture(capture);
    const asked = byClients + requests.length;
    expect(decoded).toEqual({ requests: asked, responses: asked, exceptions: 4, malformed: [], strange: [] });
    expect(stats()).toMatchObject({ requests: asked, answers: asked });
  });

  test('does notice an answer of half a register', async () => {
    const { address } = await open(() => Uint8Array.of(0x04, 1, 0));
    const capture = await startCapture(address.port);
    const client = await rawClient(address.port);
    client.send(frame(1, UNIT, 0x04, 0, 0, 0, 4));
    await client.read(10);
    expect((await stopCapture(capture)).malformed).toHaveLength(1);
  });
});
