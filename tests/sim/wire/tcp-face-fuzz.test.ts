/** Twenty thousand chunks of noise and broken frames at a running face, beside a client that behaves. */
import { setImmediate } from 'node:timers/promises';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { openTcpFace } from '../../../sim/wire/tcp-face.ts';
import { encodeFrame } from '../../../src/modbus/index.ts';
import { unitId } from '../../../src/units/index.ts';
import { nearlySoundPdu } from '../../src/modbus/arbitraries.ts';
import { bytes, frame, framesOf, type RawClient, rawClient } from './raw-client.ts';
import { smallDevice, UNIT } from './small-device.ts';

const RUNS = 200;
const CHUNKS_A_RUN = 100;

/** Noise, whole frames, frames with a wrong byte in the header, frames cut short, several of these. */
function anyChunk(): fc.Arbitrary<Uint8Array> {
  const whole = fc
    .tuple(fc.nat(0xffff), fc.constantFrom(UNIT, 0, 12), nearlySoundPdu())
    .map(([id, unit, pdu]) => encodeFrame(id, unitId(unit), pdu));
  const broken = fc.tuple(whole, fc.nat(6), fc.nat(255)).map(([sound, at, byte]) => sound.with(at, byte));
  const cut = fc
    .tuple(whole, fc.nat())
    .map(([sound, length]) => sound.subarray(0, 1 + (length % sound.length)));
  const noise = fc.uint8Array({ minLength: 1, maxLength: 600 });
  const one = fc.oneof({ arbitrary: whole, weight: 6 }, broken, cut, noise);
  return fc.oneof(
    one,
    fc.array(one, { minLength: 2, maxLength: 5 }).map((parts) => bytes(...parts)),
  );
}

async function isAnswered(client: RawClient, id: number): Promise<void> {
  client.send(frame(id, UNIT, 0x04, 0, 2, 0, 1));
  expect(framesOf(await client.read(11))).toEqual([[id, UNIT, 0x04, 2, 0, 6]]);
}

test(`answers a healthy connection beside ${RUNS * CHUNKS_A_RUN} chunks of broken traffic`, async () => {
  const face = await openTcpFace({ host: '127.0.0.1', port: 0, serve: smallDevice().serve });
  const healthy = await rawClient(face.address.port);
  let chunksSent = 0;
  const chunks = fc.array(anyChunk(), { minLength: CHUNKS_A_RUN, maxLength: CHUNKS_A_RUN, size: 'max' });
  const property = fc.asyncProperty(chunks, fc.nat(0xffff), async (list, id) => {
    let client = await rawClient(face.address.port);
    for (const chunk of list) {
      // The face hangs up when it has lost step, as it should; the noise goes on from a new connection.
      if (client.socket.destroyed || client.socket.readableEnded) client = await rawClient(face.address.port);
      await new Promise((settle) => client.socket.write(chunk, settle));
      // One turn for the face to read, one for this end to see that it hung up.
      await setImmediate();
      await setImmediate();
      chunksSent += 1;
    }
    await isAnswered(healthy, id);
    client.socket.destroy();
  });
  await fc.assert(property, { numRuns: RUNS, endOnFailure: true });
  expect(chunksSent).toBe(RUNS * CHUNKS_A_RUN);
  const { lostSync, requests, foreignFrames } = face.stats();
  expect(
    [lostSync, requests, foreignFrames].every((count) => count > 300),
    'the noise reached every path',
  ).toBe(true);
  healthy.socket.destroy();
  await face.close();
});
