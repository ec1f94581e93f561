/**
 * `leakbench survey` as a command: a bench with one rig is surveyed by the plan of another. Each planted
 * mistake is found under its name, a right rig gives exit code 0, and nothing is ever written.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, type TestContext, test } from 'vitest';
import type { Observe } from '../../sim/world/index.ts';
import { exceptionPdu } from '../../src/modbus/index.ts';
import { freshFolder, runToEnd, startBench } from '../helpers/bench-process.ts';
import { liveBench } from '../helpers/live-bench.ts';
import { RIGHT, rigOf, variantOfReference } from '../src/survey/rigs.ts';
import { oddServer } from './odd-server.ts';

const FOLDER = freshFolder();
const UNITS = '1-2,11-13,21,60,77,90,200';
const WRITES = new Set([5, 6, 15, 16, 22, 23]);

type Finished = TestContext['onTestFinished'];

function file(name: string, text: string): string {
  const path = join(FOLDER, name);
  writeFileSync(path, text);
  return path;
}

const PLAN = file('plan.rig.yaml', RIGHT);

interface Difference {
  readonly kind: string;
  readonly sensor: string | null;
  readonly text: string;
}

async function surveyed(bus: string, more: readonly string[] = []) {
  const asked = ['--bus', bus, '--units', UNITS, '--timeout', '150 ms', '--json', ...more];
  const { code, stdout, stderr } = await runToEnd(['survey', PLAN, ...asked]);
  if (stdout === '') return { code, stderr, differences: [] };
  const told = JSON.parse(stdout) as { readonly differences: readonly Difference[] };
  return { code, stderr, differences: told.differences };
}

/** A bench of which every request can be seen. */
async function watchedBench(text: string, atEnd: Finished) {
  const functions: number[] = [];
  const observe: Observe = (seen) => {
    if (seen.kind === 'asked') functions.push(seen.pdu[0] ?? 0);
  };
  const { bus } = await liveBench({ rig: rigOf(text), observe, atEnd });
  return { bus, functions };
}

const swap = (from: string, to: string): string => {
  expect(RIGHT).toContain(from);
  return RIGHT.replace(from, to);
};
const profileFor = (name: string, change: (text: string) => string): string =>
  swap('unitId: 12', `unitId: 12, profile: ${variantOfReference(name, change)}`);

/** Each planted mistake: what the bench really has, and the kinds that a survey must name, with whom. */
const PLANTED: readonly (readonly [string, string, readonly (readonly [string, string | null])[]])[] = [
  ['missing', RIGHT.replace(/ {2}- \{ id: coil-b.*\n/u, ''), [['missing', 'coil-b']]],
  ['unexpected', `${RIGHT}  - { id: x, at: cabinet, unitId: 77 }\n`, [['unexpected', null]]],
  [
    'two at one address',
    `${RIGHT}  - { id: x, at: cabinet, unitId: 12, serial: "7" }\nsharedAddresses: allowed\n`,
    [['twoAtOne', 'coil-b']],
  ],
  [
    'serials exchanged',
    RIGHT.replace('"240811"', '"?"').replace('"240812"', '"240811"').replace('"?"', '"240812"'),
    [['exchanged', 'coil-a']],
  ],
  ['still at the factory address', swap('unitId: 12', 'unitId: 1'), [['atFactory', 'coil-b']]],
  [
    'wrong refrigerant',
    swap('R-32', 'R-454B'),
    [
      ['otherRefrigerant', 'coil-a'],
      ['otherRefrigerant', 'coil-b'],
    ],
  ],
  [
    'wrong setpoint',
    swap('charge:', 'policy: { setpoint: 10 %LFL, clearBelow: 8 %LFL }\ncharge:'),
    [
      ['otherSetpoint', 'coil-a'],
      ['otherSetpoint', 'coil-b'],
      ['otherSetpoint', 'low'],
    ],
  ],
  [
    'wrong table',
    profileFor('live-holding.profile.yaml', (text) =>
      text
        .replaceAll('table: input', 'table: holding')
        .replace(/commands:[\s\S]*?lamp:/u, 'lamp:')
        .replace('addressSetBy: register', 'addressSetBy: switch'),
    ),
    [['otherTable', 'coil-b']],
  ],
  [
    'numbers one off',
    profileFor('live-moved.profile.yaml', (text) =>
      text.replace(/address: (\d+)/gu, (_, at: string) => `address: ${Number(at) + 1}`),
    ),
    [['oneOff', 'coil-b']],
  ],
];

describe.concurrent('against a running bench', () => {
  test('a right rig: nothing, exit code 0, with table, CSV and sheet beside', async (context) => {
    const [csv, html] = [join(FOLDER, 'right.csv'), join(FOLDER, 'right.html')];
    const bench = await startBench(['sim', PLAN, '--bus', 'tcp://127.0.0.1:0', '--data', freshFolder()]);
    context.onTestFinished(async () => {
      await bench.stop();
    });
    const address = `tcp://127.0.0.1:${bench.lines['main'] ?? 0}`;
    const found = await surveyed(address, ['--csv', csv, '--html', html]);
    expect(found).toEqual({ code: 0, stderr: '', differences: [] });
    const rows = readFileSync(csv, 'utf8').split('\r\n');
    expect(rows).toHaveLength(1 + 6 + 1);
    expect(rows[1]).toContain('main,11,coil-a,cabinet,reference,240811');
    const sheet = readFileSync(html, 'utf8');
    expect(sheet).toContain('<h1>Commissioning sheet</h1>');
    expect(sheet).not.toContain('<script');
    expect(sheet.match(/by-hand-signature/gu)?.length).toBeGreaterThanOrEqual(6);
  });

  test.for(PLANTED)('%s: found, exit code 1', async ([, real, expected], { onTestFinished }) => {
    const { bus } = await watchedBench(real, onTestFinished);
    const found = await surveyed(bus);
    expect(found.differences.map(({ kind, sensor }) => [kind, sensor])).toEqual(expected);
    expect(found.code).toBe(1);
  });

  test('a person gets a table, each difference with what to do, and the caution', async ({
    onTestFinished,
  }) => {
    const { bus } = await watchedBench(swap('unitId: 12', 'unitId: 21'), onTestFinished);
    const { code, stdout } = await runToEnd(
      `survey ${PLAN} --bus ${bus} --units 11-12,21 --timeout 60ms`.split(' '),
    );
    expect(code).toBe(1);
    expect(stdout).toMatch(/main {2}11 {4}coil-a .*as planned/u);
    expect(stdout).toContain('at another address: coil-b (serial 240812) is planned at unit 12');
    expect(stdout).toContain('not asked');
    expect(stdout).toContain('Simulation and training only');
  });

  test('only reads, whatever it finds', async ({ onTestFinished }) => {
    const real = `${RIGHT}  - { id: x, at: cabinet, unitId: 1, outOfBox: no }\n  - { id: y, at: cabinet, unitId: 12 }\nsharedAddresses: allowed\n`;
    const { bus, functions } = await watchedBench(real, onTestFinished);
    expect((await surveyed(bus)).code).toBe(1);
    expect(new Set(functions)).toEqual(new Set([1, 2, 3, 4, 43]));
  });
});

describe.concurrent('a bus that cannot be surveyed', () => {
  test('is not there: exit code 3, and what to do', async () => {
    const { code, stderr } = await surveyed('tcp://127.0.0.1:1');
    expect(code).toBe(3);
    expect(stderr).toContain('the bus at tcp://127.0.0.1:1 cannot be reached: nobody listens there; check');
  });

  test('is a gateway without a path (0A): exit code 3, and it says so', async ({ onTestFinished }) => {
    const server = await oddServer((_, pdu) => exceptionPdu(pdu[0] ?? 0, 0x0a));
    onTestFinished(server.close);
    const { code, stderr } = await surveyed(server.address);
    expect(code).toBe(3);
    expect(stderr).toContain('says of every address that it knows no way there (exception 0A)');
    expect(server.asked.filter((one) => WRITES.has(one))).toEqual([]);
  });

  test('a gateway that says of all that they do not answer (0B): everybody is missing, exit code 1', async ({
    onTestFinished,
  }) => {
    const server = await oddServer((_, pdu) => exceptionPdu(pdu[0] ?? 0, 0x0b));
    onTestFinished(server.close);
    const { code, differences } = await surveyed(server.address);
    expect(code).toBe(1);
    expect(differences.map(({ kind }) => kind)).toEqual(Array.from({ length: 5 }, () => 'missing'));
    expect(server.asked.filter((one) => WRITES.has(one))).toEqual([]);
  });

  test.for([
    ['a number', (pdu: Uint8Array) => Uint8Array.of(pdu[0] ?? 0, 2, 0, 2)],
    ['an exception', (pdu: Uint8Array) => exceptionPdu(pdu[0] ?? 0, 2)],
  ] as const)('answers everything the same, %s: exit code 3, and it says so', async ([, answer], context) => {
    const server = await oddServer((_, pdu) => answer(pdu));
    context.onTestFinished(server.close);
    const { code, stderr } = await surveyed(server.address);
    expect(code).toBe(3);
    expect(stderr).toContain('does not look at the unit id');
    expect(server.asked.filter((one) => WRITES.has(one))).toEqual([]);
  });

  test.for([
    [['--units', '0-12'], '0 is no address of a device; a line has 1 to 247'],
    [['--units', '240-248'], '248 is no address of a device'],
    [['--units', 'all'], '"all" is no address; write such as 1-32,200'],
    [['--timeout', '300'], '--timeout 300: 300 needs its unit'],
    [['--bus', 'rtu:///dev/none'], 'is a serial line, which has one master at a time'],
    [['--bus', 'main=udp://x'], 'is not an address'],
  ] as const)('is asked for with %j: exit code 2', async ([more, says]) => {
    const { code, stderr } = await runToEnd(['survey', PLAN, '--bus', 'tcp://127.0.0.1:1', ...more]);
    expect(stderr).toContain(says);
    expect(code).toBe(2);
  });

  test('is not named at all: exit code 2, and the line is', async () => {
    const { code, stderr } = await runToEnd(['survey', PLAN]);
    expect(stderr).toContain('line main has no bus; add --bus main=tcp://HOST:PORT');
    expect(code).toBe(2);
  });

  test('goes away in the middle: exit code 3', async () => {
    let asked = 0;
    const server = await oddServer(() => {
      asked += 1;
      if (asked === 10) server.close();
      return undefined;
    });
    const { code, stderr } = await surveyed(server.address);
    expect(code).toBe(3);
    expect(stderr).toContain('nothing was written');
  });
});
