/**
 * Programs that are not ours, as judges of our wire: libmodbus and pymodbus as clients, tshark as decoder.
 *
 * In CI a missing tool is a failure; elsewhere the test is skipped and says what to install.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp } from 'node:fs/promises';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import type { TestContext } from 'vitest';

const TSHARK = 'tshark';

/** How to find out that a tool works here, and the Debian package that brings it. */
const TOOLS = {
  gcc: { probe: ['gcc', '--version'], package: 'gcc' },
  libmodbus: { probe: ['pkg-config', '--exists', 'libmodbus'], package: 'libmodbus-dev and pkg-config' },
  // Debian's own Python: it is the one that has Debian's packages.
  pymodbus: {
    probe: ['/usr/bin/python3', '-c', 'import pymodbus.client'],
    package: 'python3-pymodbus and python3-serial-asyncio',
  },
  // Opens the device, so it also finds out whether this user may capture.
  tshark: { probe: [TSHARK, '-i', 'lo', '-L'], package: 'tshark (and the right to capture on lo)' },
} as const satisfies Record<string, { readonly probe: readonly string[]; readonly package: string }>;

export type ToolName = keyof typeof TOOLS;

/** Skips the test with the reason when a tool does not work here; in CI it fails instead. */
export async function requireTool(context: TestContext, ...names: readonly ToolName[]): Promise<void> {
  const { CI } = process.env;
  for (const name of names) {
    const tool = TOOLS[name];
    const { code } = await run(tool.probe);
    if (code === 0) continue;
    const reason = `${name} does not work here: install ${tool.package}`;
    if (CI !== undefined) throw new Error(reason);
    context.skip(reason);
  }
}

interface Ran {
  /** Null when the program could not be started or was killed. */
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs a program to its end; that it is missing or fails is in the result. */
async function run(command: readonly string[]): Promise<Ran> {
  const [program = '', ...options] = command;
  const child = spawn(program, options, { stdio: ['ignore', 'pipe', 'pipe'] });
  const [stdout, stderr] = [collected(child.stdout), collected(child.stderr)];
  const code = await new Promise<number | null>((settle) => {
    child.on('error', () => {
      settle(null);
    });
    child.on('close', settle);
  });
  return { code, stdout: stdout.text(), stderr: stderr.text() };
}

function collected(stream: NodeJS.ReadableStream): { text: () => string } {
  let text = '';
  stream.setEncoding('utf8');
  stream.on('data', (chunk: string) => {
    text += chunk;
  });
  return { text: () => text };
}

/** One Modbus request; `values` for the functions that write (05, 06, 0F, 10). */
export interface OutsideRequest {
  readonly host: string;
  readonly port: number;
  readonly unit: number;
  readonly functionCode: number;
  readonly address: number;
  readonly count: number;
  readonly values?: readonly number[];
}

/** What an outside client made of the answer; `error`: it got none, or none that it accepts. */
export type OutsideAnswer =
  | { readonly values: readonly number[] }
  | { readonly exception: number }
  | { readonly error: string };

export type OutsideClient = 'libmodbus' | 'pymodbus';

/** Asks with a program built on the library named; both programs take the same arguments. */
export async function askWith(client: OutsideClient, request: OutsideRequest): Promise<OutsideAnswer> {
  const { host, port, unit, functionCode, address, count, values = [] } = request;
  const program = client === 'libmodbus' ? [await libmodbusClient()] : PYMODBUS_CLIENT;
  const numbers = [port, unit, functionCode, address, count, ...values].map(String);
  const { code, stdout, stderr } = await run([...program, host, ...numbers]);
  if (code !== 0 && code !== 1) throw new Error(`${client} client ended with ${code}: ${stderr}`);
  return JSON.parse(stdout) as OutsideAnswer;
}

const PYMODBUS_CLIENT = ['/usr/bin/python3', join(import.meta.dirname, 'pymodbus-client.py')];

let built: Promise<string> | undefined;

/** The C program's path; it is compiled once for each test file that needs it. */
function libmodbusClient(): Promise<string> {
  built ??= build();
  return built;
}

async function build(): Promise<string> {
  const program = join(await mkdtemp(join(tmpdir(), 'libmodbus-client-')), 'client');
  const { stdout } = await run(['pkg-config', '--cflags', '--libs', 'libmodbus']);
  const source = join(import.meta.dirname, 'libmodbus-client.c');
  const warnings = ['-std=c11', '-Wall', '-Wextra', '-Werror'];
  const { code, stderr } = await run([
    'gcc',
    ...warnings,
    '-o',
    program,
    source,
    ...stdout.trim().split(/\s+/u),
  ]);
  if (code !== 0) throw new Error(`the libmodbus client does not compile:\n${stderr}`);
  return program;
}

/** A capture under way on the loopback interface. */
export interface Capture {
  readonly port: number;
  readonly file: string;
  readonly process: ChildProcess;
  /** Where the packets so far went, one address a line. */
  readonly seen: () => string;
}

/** What tshark made of the traffic with one Modbus TCP port. */
export interface Decoded {
  readonly requests: number;
  readonly responses: number;
  /** Exceptions among the responses. */
  readonly exceptions: number;
  /** Packets that tshark could not take apart. */
  readonly malformed: readonly string[];
  /** Packets with data that is no Modbus to tshark, or that it could not tell the direction of. */
  readonly strange: readonly string[];
}

/** Captures what goes over loopback from and to this TCP port; settles when packets are being seen. */
export async function startCapture(port: number): Promise<Capture> {
  const file = join(await mkdtemp(join(tmpdir(), 'capture-')), 'loopback.pcapng');
  const list = ['-P', '-l', '-T', 'fields', '-e', 'ip.dst'];
  const child = spawn(TSHARK, ['-i', 'lo', '-f', `tcp port ${port}`, '-w', file, ...list], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  child.stderr.resume();
  const capture = { port, file, process: child, seen: collected(child.stdout).text };
  await untilMarked(capture, FIRST_MARK);
  return capture;
}

/** Ends the capture once all that was sent before is in it, and has tshark decode it as Modbus TCP. */
export async function stopCapture(capture: Capture): Promise<Decoded> {
  await untilMarked(capture, LAST_MARK);
  const ended = once(capture.process, 'close');
  capture.process.kill('SIGINT');
  await ended;
  return decode(capture.file, capture.port);
}

/**
 * Where marks go, connection attempts that nobody answers: they must not disturb what is being captured.
 * The last one has its own address, so that a late first one is not taken for it.
 */
const FIRST_MARK = '127.0.0.77';
const LAST_MARK = '127.0.0.78';
const MARK_TRIES = 200;
const MARK_EVERY_MS = 50;

/** Sends marks until tshark lists one: then it has seen all that came before. */
async function untilMarked({ port, process: child, seen }: Capture, host: string): Promise<void> {
  for (let tries = 0; tries < MARK_TRIES && child.exitCode === null; tries += 1) {
    await attempt(host, port);
    await setTimeout(MARK_EVERY_MS);
    if (seen().includes(host)) return;
  }
  child.kill('SIGINT');
  throw new Error('tshark captures nothing on lo');
}

async function attempt(host: string, port: number): Promise<void> {
  const socket = connect({ host, port });
  await new Promise<void>((settle) => {
    socket.on('close', () => {
      settle();
    });
    socket.on('connect', () => socket.destroy());
    socket.on('error', () => undefined);
  });
}

async function decode(file: string, port: number): Promise<Decoded> {
  // Decode-as names the protocol of the port; the preference tells requests from responses by direction.
  const read = [TSHARK, '-r', file, '-d', `tcp.port==${port},mbtcp`, '-o', `mbtcp.tcp.port:${port}`];
  const fields = ['tcp.dstport', 'modbus.func_code', 'modbus.exception_code'];
  const rows = await lines([
    ...read,
    '-Y',
    'modbus',
    '-T',
    'fields',
    ...fields.flatMap((name) => ['-e', name]),
  ]);
  // A packet that carries several frames lists their values with commas.
  const count = (column: number, toServer: boolean) =>
    rows
      .map((row) => row.split('\t'))
      .filter(([to]) => (to === String(port)) === toServer)
      .flatMap((cells) => cells[column]?.split(',') ?? [])
      .filter((value) => value !== '').length;
  return {
    requests: count(1, true),
    responses: count(1, false),
    exceptions: count(2, false),
    malformed: await lines([...read, '-Y', '_ws.malformed']),
    strange: await lines([...read, '-Y', STRANGE]),
  };
}

/** A packet that brings only a part of a frame is not strange: tshark shows the frame where it is whole. */
const STRANGE = 'mbtcp.cannot_classify || (tcp.len > 0 && !modbus && !tcp.reassembled_in)';

async function lines(command: readonly string[]): Promise<readonly string[]> {
  const { code, stdout, stderr } = await run(command);
  if (code !== 0) throw new Error(`tshark ended with ${code}: ${stderr}`);
  return stdout.split('\n').filter((line) => line !== '');
}
