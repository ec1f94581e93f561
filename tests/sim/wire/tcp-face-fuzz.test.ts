/** Fifty thousand frames at each kind of face on a socket; a million in the long tests. */
import { expect, test } from 'vitest';
import { openTcpFace } from '../../../sim/wire/tcp-face.ts';
import { fuzz, mbapFuzzer, rtuTcpFuzzer } from './fuzz.ts';
import { smallDevice } from './small-device.ts';

const FRAMES = 50_000;
/**
 * Shorter than on the bench, so that a batch does not wait for long; what waits four times as long is safe.
 */
const QUIET_MS = 10;
const CONNECTIONS = 150;

test(`a face of Modbus TCP answers rightly beside ${FRAMES} frames of junk`, async () => {
  const face = await openTcpFace({ host: '127.0.0.1', port: 0, serve: smallDevice().serve });
  const fuzzers = await Promise.all(Array.from({ length: 20 }, () => mbapFuzzer(face)));
  // Few: what follows on a length that makes no sense is never read.
  await fuzz(fuzzers, { frames: FRAMES, framesABatch: 10 });
  const { lostSync, requests, foreignFrames, answers } = face.stats();
  const reached = { lostSync, requests, foreignFrames, answers };
  for (const [path, count] of Object.entries(reached)) expect(count, path).toBeGreaterThan(500);
  await face.close();
});

test(`a face of RTU frames in a socket answers rightly after ${FRAMES} frames of junk`, async () => {
  const limits = { quietMs: QUIET_MS, connectionsMax: CONNECTIONS };
  const options = { framing: 'rtu', limits } as const;
  const face = await openTcpFace({ host: '127.0.0.1', port: 0, serve: smallDevice().serve, ...options });
  const fuzzers = await Promise.all(
    Array.from({ length: CONNECTIONS }, () => rtuTcpFuzzer(face, 4 * QUIET_MS)),
  );
  // Few: what follows on broken bytes without a silence is thrown away with them.
  await fuzz(fuzzers, { frames: FRAMES, framesABatch: 5 });
  const { requests, answers, thrownAway, connections } = face.stats();
  for (const [path, count] of Object.entries({ requests, answers, thrownAway }))
    expect(count, path).toBeGreaterThan(1500);
  expect(connections).toBe(CONNECTIONS);
  await face.close();
});
