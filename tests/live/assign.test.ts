/**
 * `leakbench assign` as a command, against a running bench whose sensors are in their boxes yet: a person,
 * who is this test, plugs in what is asked for.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { describe, expect, type TestContext, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { exceptionPdu } from '../../src/modbus/index.ts';
import { openRecord } from '../../src/record/index.ts';
import { type BusAddress, loadRig } from '../../src/rig/index.ts';
import { type Ended, freshFolder, runToEnd, startBench } from '../helpers/bench-process.ts';
import { stepFor } from '../helpers/demo.ts';
import { liveBench } from '../helpers/live-bench.ts';
import { postStep } from '../helpers/outside-view.ts';
import { ptyPair } from '../helpers/pty-pair.ts';
import { requireTool } from '../interop/outside-tools.ts';
import { oddServer } from './odd-server.ts';

const NEW = `rig: 1
name: Tide Street Library, reading room
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m }
sensors:
  - { id: one, at: cabinet, unitId: 21, serial: "S21", outOfBox: yes }
  - { id: two, at: cabinet, unitId: 22, serial: "S22", outOfBox: yes }
  - { id: three, at: room-low, unitId: 23, serial: "S23", outOfBox: yes }
  - { id: grille, at: room-low, kind: contact, input: 8 }
`;
const IDS = ['one', 'two', 'three'];
const MAIN = join(packageRoot(), 'dist/src/app/main.js');
/** Short, since the bench is in this house. */
const QUICK = ['--timeout', '100 ms', '--wait', '20 s'];

type Finished = TestContext['onTestFinished'];

const RIG = join(freshFolder(), 'new.rig.yaml');
writeFileSync(RIG, NEW);

/** A bench, and how its devices are plugged in and out. */
interface Bench {
  readonly bus: string;
  readonly power: (to: string, what: object) => unknown;
}

/** One in this process: what matters here is the command. */
async function benchOn(atEnd: Finished, at?: BusAddress): Promise<Bench> {
  const loaded = loadRig(RIG);
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  const rig = loaded.value;
  const { bus, apply } = await liveBench({ rig, atEnd, ...(at === undefined ? {} : { at }) });
  return {
    bus,
    power: (to, what) => {
      apply(stepFor(rig, { power: { to, ...what } }));
    },
  };
}

/** One as users have it: a person tells it through its page. */
async function simOnTcp(atEnd: Finished): Promise<Bench> {
  const bench = await startBench(['sim', RIG, '--bus', 'tcp://127.0.0.1:0', '--data', freshFolder()]);
  atEnd(async () => {
    await bench.stop();
  });
  return {
    bus: bench.addresses[0]?.address ?? '',
    power: (to, what) => postStep(bench.page, { power: { to, ...what } }),
  };
}

const ON = { restored: true };
const OFF = { cut: 'stays' };

/** Runs `assign` and does what it asks a person to do. */
async function led({ power }: Bench, args: readonly string[]): Promise<Ended> {
  const child = spawn(process.execPath, [MAIN, 'assign', RIG, ...args, ...QUICK]);
  let [stdout, stderr, sensor] = ['', '', ''];
  child.stderr.on('data', (chunk: Buffer) => (stderr += chunk.toString()));
  const ended = once(child, 'close');
  for await (const line of createInterface({ input: child.stdout })) {
    stdout += `${line}\n`;
    sensor = /^(\w+), to unit/u.exec(line)?.[1] ?? sensor;
    if (line.includes('give power to')) await power(sensor, ON);
    if (!line.includes('take the power of')) continue;
    await power(sensor, OFF);
    await power(sensor, ON);
  }
  const [code] = (await ended) as [number | null];
  return { code, stdout, stderr };
}

async function expectMoved(bench: Bench, bus: string, alone: readonly string[]): Promise<void> {
  const data = freshFolder();
  const moved = await led(bench, [...IDS, '--bus', bus, '--write', '--data', data, ...alone]);
  expect(moved.stderr).toBe('');
  expect(moved.code).toBe(0);
  for (const [index, id] of IDS.entries()) {
    const unit = 21 + index;
    expect(moved.stdout).toContain(`  ${id} answers at its planned address ${unit}, serial S${unit}`);
    expect(moved.stdout).toContain(`  label: unit ${unit} | ${id} | `);
  }
  const surveyed = await runToEnd(
    ['survey', RIG, '--bus', bus, '--units', '1,21-23,200', '--timeout', '100 ms'].concat(alone),
  );
  expect(surveyed.stdout).toContain('4 of 4 planned answer as planned, 0 differences');
  expect(surveyed.code).toBe(0);
  const record = openRecord({ folder: join(data, 'service'), rigName: 'any' });
  const kept = record.readAfter(0, 100);
  record.close();
  expect(kept.map(({ type, data: { fields } }) => [type, fields['sensor']])).toEqual(
    IDS.flatMap((id) =>
      ['started', 'accepted', 'proved'].map((what) => [`leakbench.assignment.${what}`, id]),
    ),
  );
}

describe.concurrent('three new sensors at one factory address', () => {
  test('get their own, one after the other, over TCP', async ({ onTestFinished }) => {
    const bench = await simOnTcp(onTestFinished);
    await expectMoved(bench, bench.bus, []);
  });

  test('get their own over a serial line', async (context) => {
    await requireTool(context, 'socat');
    const { paths, remove } = await ptyPair();
    context.onTestFinished(remove);
    const [ours, theirs] = paths;
    const settings = { baud: 115_200, parity: 'even', stopBits: 1 } as const;
    const bench = await benchOn(context.onTestFinished, { kind: 'rtu', path: theirs, ...settings });
    await expectMoved(bench, `rtu://${ours}?baud=115200`, ['--alone']);
  });

  test('with power all at once stop it: exit code 1, nothing written', async ({ onTestFinished }) => {
    const bench = await benchOn(onTestFinished);
    for (const id of IDS) await bench.power(id, ON);
    const data = freshFolder();
    const { bus } = bench;
    const stopped = await led(bench, ['one', '--bus', bus, '--write', '--data', data]);
    expect(stopped.code).toBe(1);
    expect(stopped.stdout).toContain('never one sound answer');
    expect(stopped.stdout).not.toContain('writes key');
    // Whoever is plugged in alone afterwards still has its factory address.
    for (const id of ['two', 'three']) await bench.power(id, OFF);
    const dry = await led(bench, ['one', '--bus', bus, '--data', data]);
    expect(dry.code).toBe(0);
    expect(dry.stdout).toContain('would write key 0xA21C to holding register 2, then address 21');
  });
});

test.concurrent('a dry run writes nothing, and as JSON it is one document', async ({ onTestFinished }) => {
  const bench = await benchOn(onTestFinished);
  await bench.power('one', ON);
  const { bus } = bench;
  const args = ['one', '--bus', bus, '--json', '--data', freshFolder()];
  for (const round of [1, 2]) {
    const { code, stdout } = await led(bench, args);
    expect(code, `round ${round}`).toBe(0);
    expect(JSON.parse(stdout)).toMatchObject({
      sensors: [{ sensor: 'one', unitId: 21, result: 'wouldWrite' }],
    });
  }
});

test.concurrent('a restart by command needs no hand after the plug', async ({ onTestFinished }) => {
  const bench = await benchOn(onTestFinished);
  const { bus } = bench;
  const moved = await led(bench, ['two', '--bus', bus, '--write', '--restart', '--data', freshFolder()]);
  expect(moved.code).toBe(0);
  expect(moved.stdout).toContain('  restarts two by command');
  expect(moved.stdout).not.toContain('take the power');
});

describe.concurrent('bad input', () => {
  const bus = ['--bus', 'tcp://127.0.0.1:1'];
  test.for([
    [['on', ...bus], 2, 'has no sensor "on"; did you mean "one"?'],
    [
      ['grille', ...bus],
      2,
      'grille is a contact sensor on input 8 of the field I/O: it has no address to assign',
    ],
    [['one', ...bus, '--wait', '2'], 2, '--wait 2: 2 needs its unit'],
    [['one', '--bus', 'rtu:///dev/none'], 2, 'unplug the controller, then say so with --alone'],
    [['one'], 2, 'line main has no bus'],
    [
      ['one', ...bus, '--write'],
      3,
      'nobody listens there; check the address, the gateway and the cable. Nothing was written.',
    ],
  ] as const)('%j', async ([args, code, says]) => {
    const ended = await runToEnd(['assign', RIG, ...args, '--data', freshFolder()]);
    expect(ended.stderr).toContain(says);
    expect(ended.stderr).not.toMatch(/^\s+at /mu);
    expect(ended.code).toBe(code);
  });

  test.for([
    ['a gateway without a path', 0x0a, 3, 'the gateway knows no way to unit 21'],
    ['a gateway that hears nobody', 0x0b, 1, 'nobody answered at 1 within 1 s'],
  ] as const)('%s: exit code and sentence, and nothing is written', async (one, { onTestFinished }) => {
    const [, exception, exitCode, says] = one;
    const server = await oddServer((_, pdu) => exceptionPdu(pdu[0] ?? 0, exception));
    onTestFinished(server.close);
    const args = ['--bus', server.address, '--write', '--wait', '1 s', '--data', freshFolder()];
    const { code, stdout } = await runToEnd(['assign', RIG, 'one', ...args]);
    expect(stdout).toContain(says);
    expect(code).toBe(exitCode);
    expect(server.asked.filter((one) => one === 6 || one === 16)).toEqual([]);
  });

  test('a server that answers everything the same is nobody it could write to', async ({
    onTestFinished,
  }) => {
    const server = await oddServer((_, pdu) => Uint8Array.of(pdu[0] ?? 0, 2, 0, 2));
    onTestFinished(server.close);
    const args = ['--bus', server.address, '--write', '--wait', '1 s', '--data', freshFolder()];
    const { code } = await runToEnd(['assign', RIG, 'one', ...args]);
    expect(code).toBe(1);
    expect(server.asked.filter((one) => one === 6 || one === 16)).toEqual([]);
  });
});
