/**
 * How many requests a second our Modbus TCP face answers, with the whole world behind it, beside servers that
 * are not ours. Each is a process of its own and is asked for the same eight registers by one load generator;
 * rounds go through all of them in turn, and the medians of the ratios are what counts: a machine is as fast
 * as it is. Nothing here fails for being slow.
 */
import { once } from 'node:events';
import { open } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import { ptyPair } from '../helpers/pty-pair.ts';
import { compiled } from '../interop/outside-clients.ts';
import { requireTool, run } from '../interop/outside-tools.ts';
import { type Figure, figure, keepFigures, median, ratiosOf } from './figures.ts';
import type { Done, Load } from './load.ts';
import { buildPrograms, cpuMs, messageOf, type Running, startOther, startProgram } from './processes.ts';
import type { ServerKind } from './server.ts';

const HOST = '127.0.0.1';
const ROUNDS = 7;
const SPAN_MS = 600;

const SHAPES = {
  'one connection': { connections: 1, outstanding: 1 },
  '16 connections': { connections: 16, outstanding: 1 },
  'one with 16 outstanding': { connections: 1, outstanding: 16 },
} as const satisfies Record<string, Pick<Load, 'connections' | 'outstanding'>>;

type Shape = keyof typeof SHAPES;
const SHAPE_NAMES = Object.keys(SHAPES) as readonly Shape[];

const SERVERS = {
  ours: 'ours, the whole world',
  small: 'ours, a small device',
  echo: 'bare Node echo',
  modbusSerial: "modbus-serial's server",
  libmodbus: 'libmodbus, in C',
} as const;

type Server = keyof typeof SERVERS;
const SERVER_NAMES = Object.keys(SERVERS) as readonly Server[];

/** Ours over another's, as we should like to have it. */
const AIMS: readonly { readonly over: Server; readonly shape: Shape; readonly aim: number }[] = [
  { over: 'echo', shape: '16 connections', aim: 0.85 },
  { over: 'echo', shape: 'one with 16 outstanding', aim: 0.9 },
  { over: 'modbusSerial', shape: 'one connection', aim: 10 },
  { over: 'modbusSerial', shape: '16 connections', aim: 10 },
  { over: 'modbusSerial', shape: 'one with 16 outstanding', aim: 10 },
  { over: 'libmodbus', shape: 'one with 16 outstanding', aim: 1.5 },
];

const started: Running[] = [];
const left: (() => Promise<void>)[] = [];

beforeEach((context) => requireTool(context, 'gcc', 'libmodbus'));

beforeAll(() => buildPrograms('server', 'load'));

afterAll(async () => {
  await Promise.all(started.map((one) => one.stop()));
  for (const one of left) await one();
});

test(
  'requests a second over Modbus TCP',
  async () => {
    const servers = {
      ours: await startServer('world'),
      small: await startServer('small'),
      echo: await startServer('echo'),
      modbusSerial: await startServer('modbus-serial'),
      libmodbus: await startLibmodbus(),
    };
    const load = kept(startProgram('load'));
    const measure = async (server: Server, shape: Shape): Promise<Measured> => {
      const { port, running } = servers[server];
      const beforeMs = cpuMs(running);
      load.process.send({ port, ...SHAPES[shape], ms: SPAN_MS } satisfies Load);
      const { answers, tookMs } = await messageOf<Done>(load);
      const usedUs = 1000 * (cpuMs(running) - beforeMs);
      return { perS: (1000 * answers) / tookMs, coreUs: usedUs / answers };
    };
    const rates = emptyRates();
    // The first round warms everything up and does not count.
    for (let round = 0; round <= ROUNDS; round += 1) {
      for (const shape of SHAPE_NAMES) {
        for (const server of SERVER_NAMES) {
          const measured = await measure(server, shape);
          expect(measured.perS).toBeGreaterThan(0);
          if (round > 0) rates[server][shape].push(measured);
        }
      }
    }
    console.log(table(rates).join('\n'));
    keepFigures(figuresOf(rates));
  },
  10 * 60_000,
);

/** How ours on a serial port does beside modbus-serial's. */
const SERIAL_SERVERS = {
  ours: { kind: 'world-on-serial', named: 'ours, the whole world' },
  modbusSerial: { kind: 'modbus-serial-on-serial', named: "modbus-serial's serial server" },
} as const satisfies Record<string, { readonly kind: ServerKind; readonly named: string }>;
const SERIAL_AIM = 50;

test(
  'requests a second on a serial port, with one client',
  async (context) => {
    await requireTool(context, 'socat');
    const load = await compiled(join(import.meta.dirname, 'libmodbus-serial-load.c'));
    const paths = {
      ours: await serialServer(SERIAL_SERVERS.ours.kind),
      modbusSerial: await serialServer(SERIAL_SERVERS.modbusSerial.kind),
    };
    const rates = { ours: [] as number[], modbusSerial: [] as number[] };
    for (let round = 0; round <= ROUNDS; round += 1) {
      for (const server of ['ours', 'modbusSerial'] as const) {
        const { code, stdout, stderr } = await run([load, paths[server], '19200', String(SPAN_MS)]);
        expect(code, stderr).toBe(0);
        if (round > 0) rates[server].push(Number(stdout));
      }
    }
    const peer = { name: SERIAL_SERVERS.modbusSerial.named, values: rates.modbusSerial };
    keepFigures([
      figure('Modbus RTU on a serial port, one client', 'answers/s', rates.ours, peer, `${SERIAL_AIM}`),
    ]);
  },
  5 * 60_000,
);

/** A server on a pseudo-terminal; the path of the other end, which stays open between two clients. */
async function serialServer(kind: ServerKind): Promise<string> {
  const pair = await ptyPair();
  const [ours, theirs] = pair.paths;
  await messageOf<number>(kept(startProgram('server', kind, ours)));
  const farEnd = await open(theirs, 'r+');
  left.push(() => farEnd.close(), pair.remove);
  return theirs;
}

interface Measured {
  readonly perS: number;
  /** Of one core, for each answer: what else the machine does changes it least. */
  readonly coreUs: number;
}

type Rates = Record<Server, Record<Shape, Measured[]>>;

function emptyRates(): Rates {
  const row = () => Object.fromEntries(SHAPE_NAMES.map((shape) => [shape, []])) as unknown as Rates[Server];
  return Object.fromEntries(SERVER_NAMES.map((server) => [server, row()])) as Rates;
}

function table(rates: Rates): readonly string[] {
  const cell = (server: Server, shape: Shape): string => {
    const ratio = median(ratiosOf(perS(rates, server, shape), perS(rates, 'echo', shape)));
    const coreUs = median(rates[server][shape].map((one) => one.coreUs));
    const rate = median(perS(rates, server, shape));
    return `${rate.toFixed(0)} (${ratio.toFixed(2)}) ${coreUs.toFixed(1)} us`.padStart(26);
  };
  return [
    'requests a second (of the echo), processor time for each',
    [''.padEnd(24), ...SHAPE_NAMES.map((shape) => shape.padStart(26))].join(''),
    ...SERVER_NAMES.map((server) =>
      [SERVERS[server].padEnd(24), ...SHAPE_NAMES.map((shape) => cell(server, shape))].join(''),
    ),
  ];
}

function perS(rates: Rates, server: Server, shape: Shape): readonly number[] {
  return rates[server][shape].map((one) => one.perS);
}

function figuresOf(rates: Rates): readonly Figure[] {
  const others = SERVER_NAMES.filter((server) => server !== 'ours');
  return SHAPE_NAMES.flatMap((shape) =>
    others.map((over) => {
      const aim = AIMS.find((one) => one.over === over && one.shape === shape)?.aim;
      const peer = { name: SERVERS[over], values: perS(rates, over, shape) };
      const values = perS(rates, 'ours', shape);
      return figure(`Modbus TCP, ${shape}`, 'answers/s', values, peer, aim === undefined ? null : `${aim}`);
    }),
  );
}

interface Listening {
  readonly port: number;
  readonly running: Running;
}

async function startServer(kind: ServerKind): Promise<Listening> {
  const running = kept(startProgram('server', kind));
  return { port: await messageOf<number>(running), running };
}

async function startLibmodbus(): Promise<Listening> {
  const server = kept(startOther(await compiled(join(import.meta.dirname, 'libmodbus-server.c')), HOST));
  const [line] = (await once(server.process.stdout ?? server.process, 'data')) as [Buffer];
  return { port: Number(line.toString()), running: server };
}

function kept(running: Running): Running {
  started.push(running);
  return running;
}
