/**
 * The main job with real sockets at speed 20, watched from outside through Modbus and the event stream:
 * cooling runs; something is wrong at one sensor; everything goes safe in time; the hold runs its five
 * minutes from the last sign of it; cooling runs again.
 */
import { afterAll, expect, test } from 'vitest';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';
import { postStep, readValues, Stream } from '../helpers/outside-view.ts';

const RESPOND_WITHIN_MS = 15_000;
const SILENT_AFTER_MS = 5000;
const HOLD_MS = 300_000;
const FIELD_IO = 200;
/** fan, damper, heat, trouble, alarm, three reserved, compressors a and b. */
const readCoils = { kind: 'read', functionCode: 1, address: 0, quantity: 10 } as const;

/** Each case: what is done, how long until it may be known, and when it ended. */
const CASES = [
  ['test gas at coil-a', { testGas: { at: 'coil-a', level: '40 %LFL', lasts: '30 s' } }, 'alarm', 0],
  ['test gas at coil-b alone', { testGas: { at: 'coil-b', level: '40 %LFL', lasts: '30 s' } }, 'alarm', 0],
  [
    'test gas at the contact alone',
    { testGas: { at: 'grille', level: '40 %LFL', lasts: '30 s' } },
    'alarm',
    0,
  ],
  ['coil-a silent', { fault: { in: 'coil-a', kind: 'silent', lasts: '30 s' } }, 'trouble', SILENT_AFTER_MS],
  ['coil-a failed', { fault: { in: 'coil-a', kind: 'self-failed', lasts: '30 s' } }, 'trouble', 0],
] as const;

const running: Bench[] = [];

afterAll(async () => {
  await Promise.all(running.map((one) => one.end()));
});

/** A bench of its own, watched from outside. */
class Bench {
  readonly process: BenchProcess;
  readonly stream: Stream;

  constructor(process: BenchProcess) {
    this.process = process;
    this.stream = new Stream(process.page);
  }

  /** Cooling runs when it resolves. */
  static async cooling(): Promise<Bench> {
    const data = freshFolder();
    const bench = new Bench(
      await startBench(['serve', '--speed', '20', '--data', data, '--bus', 'tcp://127.0.0.1:0']),
    );
    running.push(bench);
    await postStep(bench.process.page, { call: { cooling: 'on' } });
    await bench.stream.next('output.changed', { output: 'compressor.b', on: true });
    return bench;
  }

  coils(): Promise<number[]> {
    return readValues(this.process.lines['main'] ?? 0, FIELD_IO, readCoils);
  }

  async end(): Promise<void> {
    this.stream.close();
    await this.process.stop();
  }
}

test.concurrent.each(CASES)('%s', async (_, step, lamp, knownAfterMs) => {
  const bench = await Bench.cooling();
  const { stream } = bench;
  expect(await bench.coils()).toEqual([1, 1, 0, 0, 0, 0, 0, 0, 1, 1]);

  const from = stream.events.at(-1)?.sequence ?? 0;
  await postStep(bench.process.page, step);
  const began = await begins(stream, from, step);
  const stopped = await stream.next('output.changed', { output: 'compressor.b', on: false }, from);
  // t90 of 10 s and a step to twice the setpoint: the sensor itself needs 3.01 s (first order, computed).
  const sensorMs = 'testGas' in step ? 3010 : 0;
  expect(stopped.data.atMs - began.data.atMs).toBeLessThanOrEqual(
    sensorMs + knownAfterMs + RESPOND_WITHIN_MS,
  );
  const shown = lamp === 'alarm' ? [0, 1] : [1, 0];
  expect(await bench.coils()).toEqual([1, 1, 0, ...shown, 0, 0, 0, 0, 0]);

  const ended = await ends(stream, from, step);
  const again = await stream.next('output.changed', { output: 'compressor.a', on: true }, stopped.sequence);
  expect(again.data.atMs - ended.data.atMs).toBeGreaterThanOrEqual(HOLD_MS);
  const between = stream.events.filter(
    ({ sequence }) => sequence > stopped.sequence && sequence < again.sequence,
  );
  const let_go = between.filter(
    ({ type, data }) =>
      type === 'leakbench.output.changed' &&
      (data.fields['output'] === 'fan' || data.fields['output'] === 'damper') &&
      data.fields['on'] === false,
  );
  expect(let_go).toEqual([]);
  const released = await stream.next('mitigation.changed', { to: 'running' }, stopped.sequence);
  expect(released.sequence).toBeLessThan(again.sequence);
});

type Step = (typeof CASES)[number][1];

function begins(stream: Stream, from: number, step: Step) {
  return 'testGas' in step
    ? stream.next('testGas.started', { at: step.testGas.at }, from)
    : stream.next('fault.injected', { in: step.fault.in }, from);
}

function ends(stream: Stream, from: number, step: Step) {
  return 'testGas' in step
    ? stream.next('testGas.ended', { at: step.testGas.at }, from)
    : stream.next('fault.mended', { in: step.fault.in }, from);
}
