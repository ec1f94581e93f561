/**
 * The whole chain in RTU frames: through sockets, several faces at once, and over a serial line of two ends.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, type TestContext, test, vi } from 'vitest';
import { UNWATCHED } from '../../src/line/index.ts';
import { parseAddress } from '../../src/rig/index.ts';
import { busClient } from '../../src/supervisor/index.ts';
import { unitId } from '../../src/units/index.ts';
import { type BenchProcess, freshFolder, runToEnd, startBench } from '../helpers/bench-process.ts';
import { postStep, Stream } from '../helpers/outside-view.ts';
import { type PtyPair, ptyPair } from '../helpers/pty-pair.ts';
import { requireTool } from '../interop/outside-tools.ts';

const RESPOND_WITHIN_MS = 15_000;
const SILENT_AFTER_MS = 5000;

type Finished = TestContext['onTestFinished'];

function rigFile(lines: string, annex = 'main'): string {
  const file = join(freshFolder(), 'my.rig.yaml');
  writeFileSync(
    file,
    `rig: 1
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m }
cabinet: { volume: 1.2 m3 }
circuits: [a, b]
lines:
${lines}
sensors:
  - { id: coil-a, at: cabinet, line: main, unitId: 11, serial: "240811" }
  - { id: coil-b, at: cabinet, line: ${annex}, unitId: 12, serial: "240812" }
fieldIo: { line: main }
`,
  );
  return file;
}

/** A line of patient time-outs: a busy machine at speed 10 has a tenth of them. */
const line = (id: string, ...listen: readonly string[]): string =>
  `  - { id: ${id}, listen: [${listen.map((one) => `"${one}"`).join(', ')}], timeout: 1 s, retries: 1 }`;

async function start(atEnd: Finished, ...args: readonly string[]): Promise<BenchProcess> {
  const bench = await startBench([...args, '--speed', '10', '--data', freshFolder()]);
  atEnd(async () => {
    await bench.stop();
  });
  return bench;
}

function watch(bench: BenchProcess, atEnd: Finished): Stream {
  const stream = new Stream(bench.page);
  atEnd(() => {
    stream.close();
  });
  return stream;
}

async function ports(atEnd: Finished): Promise<PtyPair> {
  const pair = await ptyPair();
  atEnd(() => pair.remove());
  return pair;
}

/** The state and the serial of a sensor of profile `reference`, asked from here. */
async function readFrom(address: string, unit: number, timeoutMs = 5000): Promise<readonly number[]> {
  const parsed = parseAddress(address);
  if (typeof parsed === 'string') throw new Error(parsed);
  const bus = busClient(parsed, UNWATCHED);
  const read = (at: number, quantity: number) =>
    bus.perform(unitId(unit), { kind: 'read', functionCode: 4, address: at, quantity }, timeoutMs);
  try {
    const [state, serial] = [await read(0, 1), await read(15, 3)];
    if (state.kind !== 'answered' || serial.kind !== 'answered') throw new Error(`${address}: ${state.kind}`);
    return [...Array.from(state.answer), ...Array.from(serial.answer)];
  } finally {
    bus.close();
  }
}

async function until(page: string, path: string, status: number): Promise<void> {
  await vi.waitFor(async () => {
    expect((await fetch(page + path)).status).toBe(status);
  }, 20_000);
}

test.concurrent('two lines at three addresses: one by TCP and RTU at once, one by RTU alone', async ({
  onTestFinished,
}) => {
  const free = '127.0.0.1:0';
  const main = line('main', `tcp://${free}`, `rtu+tcp://${free}`);
  const bench = await start(
    onTestFinished,
    'serve',
    rigFile(`${main}\n${line('annex', `rtu+tcp://${free}`)}`, 'annex'),
  );
  const told = bench.addresses.map(({ line: id, address }) => `${id} ${address.replace(/:\d+$/u, '')}`);
  expect(told).toEqual(['main tcp://127.0.0.1', 'main rtu+tcp://127.0.0.1', 'annex rtu+tcp://127.0.0.1']);
  await until(bench.page, '/readyz', 200);

  const world = watch(bench, onTestFinished);
  await postStep(bench.page, { call: { cooling: 'on' } });
  const cooling = await world.next('output.changed', { output: 'compressor.b', on: true });
  const [byTcp, byRtu, annex] = bench.addresses.map(({ address }) => address);
  const measuring = [2, ...serialWords('240811')];
  expect(await readFrom(byTcp ?? '', 11)).toEqual(measuring);
  expect(await readFrom(byRtu ?? '', 11)).toEqual(measuring);
  expect(await readFrom(annex ?? '', 12)).toEqual([2, ...serialWords('240812')]);
  await expect(readFrom(annex ?? '', 11, 1500), 'is on the other line').rejects.toThrow('silent');

  // It answers, and never with a checksum that fits: that is as good as silence.
  await postStep(bench.page, { fault: { in: 'coil-b', kind: 'bad-crc' } });
  const fault = await world.next('fault.injected', { in: 'coil-b' }, cooling.sequence);
  const stopped = await world.next('output.changed', { output: 'compressor.b', on: false }, fault.sequence);
  expect(stopped.data.atMs - fault.data.atMs).toBeGreaterThanOrEqual(SILENT_AFTER_MS - 1000);
  expect(stopped.data.atMs - fault.data.atMs).toBeLessThanOrEqual(SILENT_AFTER_MS + RESPOND_WITHIN_MS);
});

test.concurrent('a serial line, sensors and supervisor at its ends, its cable pulled out', async (context) => {
  const { onTestFinished } = context;
  await requireTool(context, 'socat');
  const pair = await ports(onTestFinished);
  const [here, there] = pair.paths.map((path) => `rtu://${path}?baud=115200&parity=even`);
  const rig = rigFile(line('main', here ?? ''));
  const sim = await start(onTestFinished, 'sim', rig);
  expect(sim.addresses).toEqual([{ line: 'main', address: here }]);
  const supervisor = await start(onTestFinished, 'supervise', rig, '--bus', there ?? '');
  const mind = watch(supervisor, onTestFinished);
  await until(supervisor.page, '/readyz', 200);

  const world = watch(sim, onTestFinished);
  await postStep(sim.page, { call: { cooling: 'on' } });
  const cooling = await world.next('output.changed', { output: 'compressor.b', on: true });
  await postStep(sim.page, { testGas: { at: 'coil-b', level: '40 %LFL', lasts: '20 s' } });
  const gas = await world.next('testGas.started', { at: 'coil-b' }, cooling.sequence);
  const stopped = await world.next('output.changed', { output: 'compressor.b', on: false }, gas.sequence);
  expect(stopped.data.atMs - gas.data.atMs).toBeLessThanOrEqual(RESPOND_WITHIN_MS + 15_000);
  await world.next('output.changed', { output: 'fan', on: true });

  // A cable that is pulled out is a lost line, and a line again when it is put back.
  const before = mind.events.at(-1)?.sequence ?? 0;
  await pair.unplug();
  const lost = await mind.next('line.lost', { line: 'main' }, before);
  await until(supervisor.page, '/readyz', 503);
  await pair.plug();
  await mind.next('line.connected', { line: 'main' }, lost.sequence);
  await until(supervisor.page, '/readyz', 200);
});

const NO_PORT = 'rtu:///dev/no-such-port';
const quiet = (): string[] => ['--port', '0', '--data', freshFolder()];

test.concurrent.for([
  [
    'a supervisor in the same process',
    ['serve'],
    2,
    /line main has a serial port alone.*under "listen".*leakbench supervise/u,
  ],
  ['sensors', ['sim'], 3, /\/dev\/no-such-port cannot be opened: .*No such file.*--bus/u],
  [
    'a supervisor elsewhere',
    ['supervise', '--bus', NO_PORT],
    3,
    /rtu:\/\/\/dev\/no-such-port\S* cannot be reached: .*No such file/u,
  ],
] as const)('a port that is not there: %s', async ([, [verb, ...bus], code, says]) => {
  const ended = await runToEnd([verb, rigFile(line('main', NO_PORT)), ...bus, ...quiet()]);
  expect(ended.stderr).toMatch(says);
  expect(ended.stderr).not.toMatch(/^\s+at /mu);
  expect(ended.code).toBe(code);
});

test.concurrent.for([
  ['sim', []],
  ['supervise', ['--bus', NO_PORT]],
] as const)('without the package for serial ports %s says how to get it', async ([verb, bus]) => {
  const hooks = `export const resolve = (name, context, next) => {
    if (name !== 'serialport') return next(name, context);
    throw Object.assign(new Error('Cannot find package'), { code: 'ERR_MODULE_NOT_FOUND' });
  };`;
  const url = (code: string): string => `data:text/javascript,${encodeURIComponent(code)}`;
  const register = `import { register } from 'node:module'; register(${JSON.stringify(url(hooks))});`;
  const args = [verb, rigFile(line('main', NO_PORT)), ...bus, ...quiet()];
  const ended = await runToEnd(args, ['--import', url(register)]);
  expect(ended.stderr).toMatch(/npm install serialport/u);
  expect(ended.stderr).not.toMatch(/^\s+at /mu);
  expect(ended.code).toBe(3);
});

test.concurrent('an address written wrongly is told with what to write', async () => {
  const wrong = await runToEnd(['supervise', '--bus', 'rtu:///dev/ttyUSB0?baud=1', ...quiet()]);
  expect(wrong.stderr).toMatch(/--bus rtu:\S+: baud takes bits a second/u);
  expect(wrong.code).toBe(2);
  const other = await runToEnd(['serve', '--bus', 'main=udp://h:1', ...quiet()]);
  expect(other.stderr).toMatch(/is not an address; write tcp:.* rtu\+tcp:.* or rtu:/u);
  expect(other.code).toBe(2);
});

/** Two characters a register, the first in the high byte. */
function serialWords(text: string): readonly number[] {
  return [0, 2, 4].map((at) => text.charCodeAt(at) * 0x100 + text.charCodeAt(at + 1));
}
