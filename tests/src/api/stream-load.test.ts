/** The short form of tests/long/stream-load.test.ts: some clients stall, and the others do not notice. */
import { setTimeout } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { Herd } from '../../helpers/herd/herd.ts';
import { ask } from './ask.ts';
import { openApi } from './open-api.ts';

const CLIENTS = 60;
const STALLED = 5;
/** More than lies in the buffers of the system before the queue of a stalled client grows at all. */
const EVENTS = 400;
const NOTE_LETTERS = 20_000;

test('all who read get every event once in order, who does not is cut', async () => {
  const limits = { queueBytesMax: 1024 * 1024, heartbeatMs: 600_000 };
  const { url, record } = await openApi({ limits });
  const herd = new Herd();
  await herd.open(Number(new URL(url).port), CLIENTS - STALLED, STALLED);
  const parameters = { note: 'x'.repeat(NOTE_LETTERS) };
  for (let atMs = 0; atMs < EVENTS; atMs += 1) {
    record.append([{ id: 'fault.injected', atMs, fields: { in: 'coil-a', kind: 'noisy', parameters } }]);
    await setTimeout(1);
  }
  const { whole, closeCodes, lateMs } = await herd.report(record.lastSequence());
  expect(whole).toBe(CLIENTS - STALLED);
  expect(closeCodes).toEqual(Array(STALLED).fill(4001));
  expect(lateMs).toHaveLength((CLIENTS - STALLED) * (EVENTS / 20));
  expect((await ask(`${url}/metrics`)).text).toContain(`leakbench_stream_slow_clients_total ${STALLED}\n`);
});
