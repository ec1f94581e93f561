/** Counting anew over real sockets: the wire's counts begin at nothing, and nothing else of the bench does. */
import { expect, test } from 'vitest';
import type { PollReport } from '../../src/api/poll-report-schema.ts';
import type { Snapshot } from '../../src/api/snapshot-schema.ts';
import { encodeRtu } from '../../src/modbus/index.ts';
import { unitId } from '../../src/units/index.ts';
import { freshFolder, startBench } from '../helpers/bench-process.ts';
import { DEMO_FILE } from '../helpers/demo.ts';
import { call } from '../helpers/outside-view.ts';
import { rawClient } from '../sim/wire/raw-client.ts';

const ASK_COIL_A = encodeRtu(unitId(11), Uint8Array.of(4, 0, 0, 0, 2));
const ANSWER_BYTES = 9;

test('counts requests and broken frames from there on', async ({ onTestFinished }) => {
  const bus = 'rtu+tcp://127.0.0.1:0';
  const bench = await startBench(['sim', DEMO_FILE, '--bus', bus, '--data', freshFolder(), '--speed', '20']);
  onTestFinished(async () => {
    await bench.stop();
  });
  const report = (): Promise<PollReport> => call<PollReport>(bench.page, 'poll-report');
  const line = await rawClient(Number(bench.addresses[0]?.address.split(':').at(-1)));
  await call(bench.page, 'steps', { fault: { in: 'coil-b', kind: 'silent' } });
  const broken = Uint8Array.from(ASK_COIL_A);
  broken[6] = (broken[6] ?? 0) ^ 0xff;
  line.send(broken);
  while ((await report()).lines[0]?.thrownAway === 0);
  line.send(ASK_COIL_A);
  await line.read(ANSWER_BYTES);
  expect((await report()).requests).toBe(1);

  const before = await call<Snapshot>(bench.page, 'now');
  await call(bench.page, 'poll-report/anew', {});
  expect(await report()).toMatchObject({ requests: 0, sinceMs: null, lines: [{ thrownAway: 0, units: [] }] });
  const after = await call<Snapshot>(bench.page, 'now');
  expect(after.world?.sensors).toMatchObject({ 'coil-b': { faults: [{ kind: 'silent' }] } });
  expect(after.wire).toEqual(before.wire);

  line.send(ASK_COIL_A);
  await line.read(ANSWER_BYTES);
  expect(await report()).toMatchObject({ requests: 1, sinceMs: expect.any(Number) as number });
  line.socket.destroy();
});
