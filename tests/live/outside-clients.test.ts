/** Clients that are not ours read the running bench, while the supervisor polls it; tshark reads it all. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';
import { postStep, Stream } from '../helpers/outside-view.ts';
import { startCapture, stopCapture } from '../interop/capture.ts';
import { askWith, type OutsideClient } from '../interop/outside-clients.ts';
import { requireTool } from '../interop/outside-tools.ts';

const HOST = '127.0.0.1';
const MEASURING = 2;
const SELF_TEST_PASSED = 2;
const SETPOINT_TENTHS = 200;

let bench: BenchProcess;
let stream: Stream;

beforeEach(async () => {
  bench = await startBench(['serve', '--speed', '5', '--data', freshFolder(), '--bus', 'tcp://127.0.0.1:0']);
  stream = new Stream(bench.page);
  await postStep(bench.page, { call: { cooling: 'on' } });
  await stream.next('output.changed', { output: 'compressor.b', on: true });
});

afterEach(async () => {
  stream.close();
  await bench.stop();
});

async function readsTheBench(client: OutsideClient): Promise<void> {
  const port = bench.lines['main'] ?? 0;
  const ask = (unit: number, functionCode: number, address: number, count: number) =>
    askWith(client, { kind: 'tcp', host: HOST, port }, { unit, functionCode, address, count });
  for (const [unit, serial] of [
    [11, '240811'],
    [12, '240812'],
  ] as const) {
    const answer = await ask(unit, 4, 0, 19);
    const values = 'values' in answer ? answer.values : [];
    expect(values.slice(0, 6)).toEqual([MEASURING, SELF_TEST_PASSED, 0, 0, SETPOINT_TENTHS, 0]);
    expect(textOf(values.slice(11, 15))).toBe('R-32    ');
    expect(textOf(values.slice(15, 19))).toBe(`${serial}  `);
  }
  expect(await ask(200, 1, 0, 10)).toMatchObject({ values: [1, 1, 0, 0, 0, 0, 0, 0, 1, 1] });
  // Cooling called, airflow proven; the contact at the grille is closed; both compressors run.
  expect(await ask(200, 2, 0, 6)).toMatchObject({ values: [1, 0, 0, 1, 0, 0] });
  expect(await ask(200, 2, 8, 1)).toMatchObject({ values: [1] });
  expect(await ask(200, 2, 24, 2)).toMatchObject({ values: [1, 1] });
  expect(await ask(200, 4, 0, 2)).toMatchObject({ values: [900, 0] });
  expect(await ask(11, 3, 0, 1)).toMatchObject({ values: [11] });
  expect(await ask(11, 4, 0, 20)).toMatchObject({ exception: 2 });
}

function textOf(registers: readonly number[]): string {
  return registers.map((word) => String.fromCharCode(word >> 8, word & 0xff)).join('');
}

test('libmodbus reads sensors and field I/O', async (context) => {
  await requireTool(context, 'gcc', 'libmodbus');
  await readsTheBench('libmodbus');
});

test('pymodbus reads sensors and field I/O', async (context) => {
  await requireTool(context, 'pymodbus');
  await readsTheBench('pymodbus');
});

test('tshark decodes everything that supervisor and clients say without one malformed frame', async (context) => {
  await requireTool(context, 'tshark', 'gcc', 'libmodbus', 'pymodbus');
  const capture = await startCapture(bench.lines['main'] ?? 0);
  await readsTheBench('libmodbus');
  await readsTheBench('pymodbus');
  await postStep(bench.page, { fault: { in: 'coil-a', kind: 'silent', lasts: '6 s' } });
  await stream.next('fault.mended', { in: 'coil-a' });
  const decoded = await stopCapture(capture);
  expect(decoded).toMatchObject({ malformed: [], strange: [] });
  expect(decoded.requests).toBeGreaterThan(40);
  expect(decoded.responses).toBeGreaterThan(40);
});
