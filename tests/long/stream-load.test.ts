/** A thousand clients of the stream, fifty of which stall, while a thousand events a second are stored. */
import { type ChildProcess, spawn } from 'node:child_process';
import { loadavg } from 'node:os';
import { createInterface } from 'node:readline';
import { expect, test } from 'vitest';
import { bundled } from '../helpers/bundled.ts';
import { burst, percentile } from '../helpers/herd/burst.ts';
import type { HerdReport } from '../helpers/herd/herd.ts';
import { ask } from '../src/api/ask.ts';
import { openApi } from '../src/api/open-api.ts';
import { gas } from '../src/record/facts.ts';

const CLIENTS = 1000;
const STALLED = 50;
const PROCESSES = 2;
const PER_SECOND = 1000;
/** So much lies in the buffers of the system before the queue of a stalled client grows at all. */
const SECONDS = 30;
/** No ping in between: every client gets the same bytes. */
const HEARTBEAT_MS = 600_000;
const HERD = bundled('herd', 'tests/helpers/herd/process.ts');

interface HerdProcess {
  readonly child: ChildProcess;
  readonly nextLine: () => Promise<string>;
}

function herdProcess(port: string): HerdProcess {
  const counts = [(CLIENTS - STALLED) / PROCESSES, STALLED / PROCESSES].map(String);
  const child = spawn(process.execPath, [HERD, port, ...counts], { stdio: ['pipe', 'pipe', 'inherit'] });
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  return {
    child,
    nextLine: async () => {
      const next: IteratorResult<string, unknown> = await lines.next();
      if (next.done === true) throw new Error('a herd ended early');
      return next.value;
    },
  };
}

test('all who read get every event once in order, who does not is cut', {
  timeout: 600_000,
  retry: 0,
}, async () => {
  const { url, record } = await openApi({ limits: { heartbeatMs: HEARTBEAT_MS } });
  const herds = Array.from({ length: PROCESSES }, () => herdProcess(new URL(url).port));
  for (const { nextLine } of herds) expect(await nextLine()).toBe('open');
  const rate = await burst(record, { perSecond: PER_SECOND, seconds: SECONDS, fact: gas });
  for (const { child } of herds) child.stdin?.write(`${record.lastSequence()}\n`);
  const told = await Promise.all(
    herds.map(async ({ nextLine }) => JSON.parse(await nextLine()) as HerdReport),
  );

  const lateMs = told.flatMap((one) => one.lateMs);
  const [p50, p99, max] = [0.5, 0.99, 1].map((share) => percentile(lateMs, share));
  const rssMb = Math.round(process.memoryUsage.rss() / 1e6);
  const load = loadavg()[0]?.toFixed(1);
  console.log(
    `${Math.round(rate)} events/s, ${rssMb} MB, load ${load}; ms late: p50 ${p50}, p99 ${p99}, max ${max}`,
  );
  expect(lateMs.length).toBeGreaterThan(CLIENTS);
  expect(told.reduce((sum, { whole }) => sum + whole, 0)).toBe(CLIENTS - STALLED);
  expect(told.flatMap(({ closeCodes }) => closeCodes)).toEqual(Array(STALLED).fill(4001));
  expect((await ask(`${url}/metrics`)).text).toContain(`leakbench_stream_slow_clients_total ${STALLED}\n`);
});
