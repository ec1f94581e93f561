/**
 * Controllers of somebody else, by pymodbus and libmodbus, each with one mistake, at a bench of its own: the
 * poll report names each of them, and says nothing against one that makes none. For some the bench is
 * `leakbench sim`, which tells its report by the API; for the others it is in this process.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, type TestContext, test } from 'vitest';
import { PollFold } from '../../sim/poll-report/index.ts';
import { type PollReport, pollReportSchema } from '../../src/api/poll-report-schema.ts';
import { P } from '../../src/page/texts/index.ts';
import { loadRig } from '../../src/rig/index.ts';
import { freshFolder, runToEnd, startBench } from '../helpers/bench-process.ts';
import { DEMO_FILE, stepFor } from '../helpers/demo.ts';
import { liveBench } from '../helpers/live-bench.ts';
import { postStep } from '../helpers/outside-view.ts';
import { ptyPair } from '../helpers/pty-pair.ts';
import { compiled } from './outside-clients.ts';
import { requireTool } from './outside-tools.ts';

type Client = 'pymodbus' | 'libmodbus';

/** What makes a case other than the right one. Times of the client are real, at five times bench speed. */
interface Case {
  readonly mistake: string;
  readonly client: Client;
  /** In the order of the report. */
  readonly says: readonly string[];
  /** Asked of the sensors in place of all of both. */
  readonly sensors?: readonly string[];
  readonly commands?: readonly string[];
  readonly rig?: (text: string) => string;
  readonly cycleMs?: number;
  readonly timeoutMs?: number;
  readonly tries?: number;
  readonly seconds?: number;
  readonly speed?: number;
  /** Its bench is the command. */
  readonly byCommand?: true;
  /** A serial line in RTU mode, and a controller that speaks ASCII mode to it. */
  readonly serial?: true;
  /** A step in the middle. */
  readonly step?: unknown;
  /** Another controller beside the first, with what it asks. */
  readonly second?: { readonly cycleMs: number; readonly requests: readonly string[] };
}

/** Of polling, unless a case says otherwise. */
const SECONDS = 4;
const SPEED = 5;
const BAUD = '19200';
const COIL_A = '1:11:4:0:19';
const COIL_B = '1:12:4:0:19';
const INPUTS = '1:200:2:0:26';
const COMMANDS = ['1:200:15:0:5:0:0:0:0:0', '1:200:15:8:2:0:0'];
const FLOATS = (rig: string): string =>
  rig.replace(/(id: coil-b[^}]*?)profile: reference/u, '$1profile: holding-floats');
const PACED = (rig: string): string =>
  rig.replace('retries: 2 }', 'retries: 2, pace: { baud: 9600, parity: even } }');
/** 20 %LFL, a float, high word first. */
const SETPOINT = '40:12:16:36:2:16800:0';

/** The long ones first. */
const CASES: readonly Case[] = [
  {
    mistake: 'none, through a gateway',
    client: 'libmodbus',
    says: [],
    rig: PACED,
    speed: 1,
    cycleMs: 500,
    timeoutMs: 1500,
    seconds: 8,
  },
  {
    mistake: 'a silent sensor that holds up the others',
    client: 'pymodbus',
    says: ['silent-stalls-others'],
    timeoutMs: 150,
    tries: 3,
    cycleMs: 150,
    seconds: 8,
    step: { fault: { in: 'coil-b', kind: 'silent' } },
  },
  {
    mistake: 'a time-out shorter than the line needs',
    client: 'libmodbus',
    says: ['timeout-too-short'],
    rig: PACED,
    speed: 1,
    cycleMs: 1000,
    timeoutMs: 25,
    tries: 3,
    seconds: 7,
  },
  {
    mistake: 'none, though a sensor is silent',
    client: 'libmodbus',
    says: [],
    byCommand: true,
    timeoutMs: 30,
    step: { fault: { in: 'coil-b', kind: 'silent' } },
  },
  {
    mistake: 'register numbers counted from 1',
    client: 'pymodbus',
    says: ['counts-from-1', 'counts-from-1'],
    byCommand: true,
    sensors: ['1:11:4:1:8', '1:12:4:1:8'],
  },
  {
    mistake: 'serial parameters that differ: ASCII in place of RTU',
    client: 'pymodbus',
    says: ['serial-settings'],
    byCommand: true,
    serial: true,
  },
  { mistake: 'none', client: 'pymodbus', says: [] },
  { mistake: 'none', client: 'libmodbus', says: [] },
  {
    mistake: 'input and holding registers mixed up',
    client: 'libmodbus',
    says: ['tables-mixed-up'],
    sensors: ['1:11:3:0:19', COIL_B],
  },
  {
    mistake: 'the words of 32-bit numbers exchanged',
    client: 'pymodbus',
    says: ['word-order'],
    rig: FLOATS,
    sensors: [COIL_A, '1:12:3:32:38', SETPOINT],
  },
  {
    mistake: 'half of a 32-bit number',
    client: 'libmodbus',
    says: ['word-order'],
    sensors: ['1:11:4:0:7', '1:11:4:7:12', COIL_B],
  },
  {
    mistake: 'unit id 255',
    client: 'libmodbus',
    says: ['unit-0-or-255'],
    sensors: [COIL_A, COIL_B, '1:255:4:0:19'],
    timeoutMs: 30,
  },
  {
    mistake: 'unit id 0',
    client: 'pymodbus',
    says: ['unit-0-or-255'],
    sensors: [COIL_A, COIL_B, '1:0:4:0:19'],
    timeoutMs: 30,
  },
  {
    mistake: 'the same address under two functions',
    client: 'pymodbus',
    says: ['two-functions'],
    sensors: [COIL_A, '1:11:3:0:19', COIL_B],
  },
  {
    mistake: 'the same sensor from two controllers',
    client: 'libmodbus',
    says: ['asked-twice'],
    second: { cycleMs: 140, requests: [COIL_A] },
  },
  {
    mistake: 'polls slower than the rig allows',
    client: 'libmodbus',
    says: ['too-slow', 'too-slow'],
    sensors: ['15:11:4:0:19', '15:12:4:0:19'],
  },
];

describe.concurrent.each(CASES)('$client with mistake: $mistake', (one) => {
  test(`the report says ${one.says.join(', ') || 'nothing'}`, { timeout: 120_000 }, async (context) => {
    await needed(context, one);
    const report = await polled(one, context.onTestFinished);
    const said = report.advice.map(({ id }) => id);
    // A controller that never came through would be told nothing either.
    expect(report.requests).toBeGreaterThanOrEqual(one.serial === true ? 0 : 60);
    expect(said, JSON.stringify(report.advice, null, 1)).toEqual(one.says);
  });
});

test.concurrent('at the end the report is standard output, whole and alone, and the exit code 0', async () => {
  const { code, stdout } = await runToEnd([
    ...['sim', DEMO_FILE, '--bus', 'tcp://127.0.0.1:0', '--port', '0'],
    ...['--data', freshFolder(), '--for', '1s', '--json'],
  ]);
  expect(code).toBe(0);
  expect(pollReportSchema.parse(JSON.parse(stdout))).toMatchObject({
    requests: 0,
    advice: [{ id: 'nobody-asks' }],
  });
  expect(JSON.parse(stdout)).toMatchObject({
    caution: expect.stringMatching(/not a safety device/u) as string,
  });
});

test.concurrent('without --json the advice alone is said at the end, a sentence a line', async () => {
  const end = ['--bus', 'tcp://127.0.0.1:0', '--port', '0', '--for', '2s', '--data'];
  const [alone, asked] = [
    await runToEnd(['sim', DEMO_FILE, ...end, freshFolder()]),
    await runToEnd(['serve', DEMO_FILE, ...end, freshFolder()]),
  ];
  const nobody = 'Nobody has asked anything yet. Point a controller at a line of this bench.\n';
  expect(alone).toMatchObject({ code: 0, stdout: nobody });
  expect(asked).toMatchObject({ code: 0, stdout: `${P.noAdvice}\n` });
});

test.concurrent('a time that is none is told before anything starts', async () => {
  const { code, stderr } = await runToEnd(['sim', DEMO_FILE, '--port', '0', '--for', 'ever']);
  expect(code).toBe(2);
  expect(stderr).toMatch(/^--for ever: /u);
});

test.concurrent('Ctrl-C ends it with the report and 130', async () => {
  const bench = await startBench([
    ...['sim', DEMO_FILE, '--bus', 'tcp://127.0.0.1:0', '--data', freshFolder(), '--json', '--for', '1 h'],
  ]);
  let stdout = '';
  bench.child.stdout?.on('data', (chunk: Buffer) => (stdout += chunk.toString()));
  expect(await bench.stop()).toBe(130);
  expect(pollReportSchema.parse(JSON.parse(stdout)).requests).toBe(0);
});

async function needed(context: TestContext, { client, serial }: Case): Promise<void> {
  await requireTool(context, ...(client === 'libmodbus' ? (['gcc', client] as const) : [client]));
  if (serial === true) await requireTool(context, 'socat');
}

type Finished = TestContext['onTestFinished'];

/** Where a case polls, and what can be done there meanwhile. */
interface Polled {
  /** Address and port, or device and baud. */
  readonly place: readonly [string, string];
  readonly apply: (step: unknown) => unknown;
  readonly report: () => Promise<PollReport>;
}

/** Lets the controllers of a case poll a bench, and asks for the report while they still do. */
async function polled(one: Case, atEnd: Finished): Promise<PollReport> {
  const file = join(freshFolder(), 'polled.rig.yaml');
  const { rig = (text: string) => text, seconds = SECONDS } = one;
  writeFileSync(file, rig(readFileSync(DEMO_FILE, 'utf8')));
  const bench = await (one.byCommand === true ? startedBench : benchHere)(file, one, atEnd);
  const { sensors = [COIL_A, COIL_B], commands = COMMANDS } = one;
  const first = { cycleMs: one.cycleMs ?? 200, requests: [INPUTS, ...sensors, ...commands] };
  const all = one.second === undefined ? [first] : [first, one.second];
  const ended = Promise.all(all.map((own) => controller(one, bench.place, own.cycleMs, own.requests)));
  if (one.step !== undefined) {
    await new Promise((resolve) => setTimeout(resolve, (seconds * 1000) / 2));
    await bench.apply(one.step);
  }
  expect(await ended).toEqual(all.map(() => 0));
  return bench.report();
}

/** `leakbench sim`, and its API. */
async function startedBench(file: string, { serial, speed = SPEED }: Case, atEnd: Finished): Promise<Polled> {
  const cable = serial === true ? await ptyPair() : null;
  if (cable !== null) atEnd(() => cable.remove());
  const bus = cable === null ? 'tcp://127.0.0.1:0' : `rtu://${cable.paths[0]}?baud=${BAUD}&parity=even`;
  const options = ['--bus', bus, '--data', freshFolder(), '--speed', String(speed)];
  const bench = await startBench(['sim', file, ...options]);
  atEnd(async () => {
    await bench.stop();
  });
  return {
    place: cable === null ? ['127.0.0.1', String(bench.lines['main'])] : [cable.paths[1], BAUD],
    apply: (step) => postStep(bench.page, step),
    report: async () => {
      const response = await fetch(`${bench.page}/api/v1/poll-report`);
      return pollReportSchema.parse(await response.json());
    },
  };
}

/** The same world and the same fold, in this process. */
async function benchHere(file: string, { speed = SPEED }: Case, atEnd: Finished): Promise<Polled> {
  const loaded = loadRig(file);
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  const rig = loaded.value;
  const fold = new PollFold(rig);
  const { bus, live, now, apply } = await liveBench({ rig, speed, observe: fold.observe, atEnd });
  const { hostname, port } = new URL(bus);
  return {
    place: [hostname, port],
    apply: (step) => {
      apply(stepFor(rig, step));
    },
    report: () => Promise.resolve(fold.report(now(), live.thrownAway())),
  };
}

let built: Promise<string> | undefined;

function libmodbusController(): Promise<string> {
  built ??= compiled(join(import.meta.dirname, 'polling-controller.c'));
  return built;
}

const PYTHON = ['/usr/bin/python3', join(import.meta.dirname, 'polling-controller.py')];

async function controller(
  { client, serial, timeoutMs = 100, tries = 1, seconds = SECONDS }: Case,
  place: readonly [string, string],
  cycleMs: number,
  requests: readonly string[],
): Promise<number | null> {
  const [program = '', ...before] = client === 'pymodbus' ? PYTHON : [await libmodbusController()];
  const settings = [cycleMs, timeoutMs, tries, seconds].map(String);
  const kind = serial === true ? 'ascii' : 'tcp';
  const child = spawn(program, [...before, kind, ...place, ...settings, ...requests], { stdio: 'inherit' });
  const [code] = (await once(child, 'close')) as [number | null];
  return code;
}
