/** A million frames of junk at each kind of face; LEAKBENCH_SEED=N draws others. */
import { expect, test } from 'vitest';
import { openTcpFace } from '../../sim/wire/tcp-face.ts';
import { serialFuzzers } from '../helpers/serial-fuzzers.ts';
import { requireTool } from '../interop/outside-tools.ts';
import { fuzz, type Memory, mbapFuzzer, rtuTcpFuzzer } from '../sim/wire/fuzz.ts';
import { smallDevice } from '../sim/wire/small-device.ts';

const FRAMES = 1_000_000;
/** On a face whose quiet is a quarter of it. */
const QUIET_MS = 40;
const CONNECTIONS = 150;
const HOURS_1 = 3_600_000;

/** A few bytes kept of each frame would be more than this after a million. */
const HEAP_MB_MAX = 12;
/** What the system does not get back at once; whole frames kept would be more. */
const RSS_MB_MAX = 60;

function expectFlat({ heapMb, rssMb }: Memory): void {
  expect(heapMb, 'heap that grew, MB').toBeLessThan(HEAP_MB_MAX);
  expect(rssMb, 'resident memory that grew, MB').toBeLessThan(RSS_MB_MAX);
}

test('Modbus TCP', { timeout: HOURS_1 }, async () => {
  const face = await openTcpFace({ host: '127.0.0.1', port: 0, serve: smallDevice().serve });
  const fuzzers = await Promise.all(Array.from({ length: 20 }, () => mbapFuzzer(face)));
  expectFlat(await fuzz(fuzzers, { frames: FRAMES, framesABatch: 10 }));
  expect(face.stats().lostSync).toBeGreaterThan(FRAMES / 20);
  await face.close();
});

test('RTU frames in a socket', { timeout: HOURS_1 }, async () => {
  const limits = { quietMs: QUIET_MS / 4, connectionsMax: CONNECTIONS };
  const options = { framing: 'rtu', serve: smallDevice().serve, limits } as const;
  const face = await openTcpFace({ host: '127.0.0.1', port: 0, ...options });
  const fuzzers = await Promise.all(Array.from({ length: CONNECTIONS }, () => rtuTcpFuzzer(face, QUIET_MS)));
  expectFlat(await fuzz(fuzzers, { frames: FRAMES, framesABatch: 5 }));
  expect(face.stats()).toMatchObject({ connections: CONNECTIONS, halfFrames: 0 });
  expect(face.stats().thrownAway).toBeGreaterThan(FRAMES / 20);
  await face.close();
});

test('a serial line', { timeout: HOURS_1 }, async (context) => {
  await requireTool(context, 'socat');
  const bench = await serialFuzzers(6);
  expectFlat(await fuzz(bench.fuzzers, { frames: FRAMES, framesABatch: 60 }));
  for (const { stats } of bench.faces) expect(stats()).toMatchObject({ unplugged: 0 });
  await bench.close();
});
