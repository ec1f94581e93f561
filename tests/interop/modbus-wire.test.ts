/** Our Modbus TCP face before judges that are not ours: libmodbus, pymodbus and tshark. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Serve } from '../../sim/wire/serve.ts';
import { openTcpFace, type TcpFace } from '../../sim/wire/tcp-face.ts';
import type { BusAddress } from '../../src/rig/index.ts';
import { bytes, frame, rawClient } from '../sim/wire/raw-client.ts';
import { smallDevice, UNIT } from '../sim/wire/small-device.ts';
import { startCapture, stopCapture } from './capture.ts';
import { converse, EXCEPTIONS_HEARD } from './conversation.ts';
import { askWith } from './outside-clients.ts';
import { requireTool } from './outside-tools.ts';

const HOST = '127.0.0.1';

let face: TcpFace | undefined;

async function open(serve: Serve): Promise<TcpFace> {
  face = await openTcpFace({ host: HOST, port: 0, serve });
  return face;
}

afterEach(async () => {
  await face?.close();
});

function busAt(port: number): BusAddress {
  return { kind: 'tcp', host: HOST, port };
}

describe.each(['libmodbus', 'pymodbus'] as const)('%s', (client) => {
  beforeEach((context) =>
    requireTool(context, ...(client === 'libmodbus' ? (['gcc', client] as const) : [client])),
  );

  test('uses every function, and is refused outside the map', async () => {
    const { address, stats } = await open(smallDevice().serve);
    const asked = await converse(client, busAt(address.port), UNIT);
    expect(stats()).toMatchObject({ requests: asked, answers: asked, lostSync: 0, foreignFrames: 0 });
  });

  test('hears nothing from a unit that nobody owns, and waits in vain', async () => {
    const { address, stats } = await open(smallDevice().serve);
    const nobody = { unit: 12, functionCode: 4, address: 0, count: 1 };
    expect(await askWith(client, busAt(address.port), nobody)).toHaveProperty('error');
    expect(stats()).toMatchObject({ requests: 1, answers: 0 });
  });
});

describe('tshark', () => {
  beforeEach((context) => requireTool(context, 'tshark', 'gcc', 'libmodbus', 'pymodbus'));

  test('takes apart every request and answer, cut and pipelined too, none malformed', async () => {
    const { address, stats } = await open(smallDevice().serve);
    const capture = await startCapture(address.port);
    const bus = busAt(address.port);
    const byClients = (await converse('libmodbus', bus, UNIT)) + (await converse('pymodbus', bus, UNIT));

    const client = await rawClient(address.port);
    const requests = Array.from({ length: 40 }, (_, id) => frame(id, UNIT, 0x04, 0, 0, 0, 1 + id));
    client.send(bytes(...requests.slice(0, 20)));
    // Frames of 12 bytes in pieces of 20; tshark itself finds no frame in a piece of fewer than 8.
    const rest = bytes(...requests.slice(20));
    for (let at = 0; at < rest.length; at += 20) client.send(rest.subarray(at, at + 20));
    await client.read(requests.reduce((sum, _, id) => sum + 9 + 2 * (1 + id), 0));

    const decoded = await stopCapture(capture);
    const asked = byClients + requests.length;
    const exceptions = 2 * EXCEPTIONS_HEARD;
    expect(decoded).toEqual({ requests: asked, responses: asked, exceptions, malformed: [], strange: [] });
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
