/** libmodbus and pymodbus as clients: two programs that take the same requests and print the same answers. */
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BusAddress } from '../../src/rig/index.ts';
import { run } from './outside-tools.ts';

/** One Modbus request, in the numbers that both programs take. */
export interface OutsideRequest {
  readonly unit: number;
  readonly functionCode: number;
  /** For function 43 the object to begin with. */
  readonly address: number;
  /** Values read or written; 1 for function 22, for function 43 the read code. */
  readonly count: number;
  /** What is written: for function 22 both masks, for function 23 first where. */
  readonly values?: readonly number[];
}

/** What an outside client made of the answer; `error`: it got none, or none that it accepts. */
export type OutsideAnswer =
  | { readonly values: readonly number[] }
  | { readonly objects: Readonly<Record<string, string>> }
  | { readonly exception: number }
  | { readonly error: string };

export type OutsideClient = 'libmodbus' | 'pymodbus';

/** Asks one thing, over a connection of its own. */
export async function askWith(
  client: OutsideClient,
  bus: BusAddress,
  request: OutsideRequest,
): Promise<OutsideAnswer> {
  const [answer] = await askAll(client, bus, [request]);
  if (answer === undefined) throw new Error(`${client} client said nothing`);
  return answer;
}

/** Asks one thing after the other over one connection; an answer for each. */
export async function askAll(
  client: OutsideClient,
  bus: BusAddress,
  requests: readonly OutsideRequest[],
): Promise<readonly OutsideAnswer[]> {
  const program = client === 'libmodbus' ? [await libmodbusClient()] : PYMODBUS_CLIENT;
  const asked = requests.map(({ unit, functionCode, address, count, values = [] }) =>
    [unit, functionCode, address, count, ...values].join(' '),
  );
  const { code, stdout, stderr } = await run([...program, ...placeOf(bus)], `${asked.join('\n')}\n`);
  if (code !== 0) throw new Error(`${client} client ended with ${code}: ${stderr}`);
  return stdout
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as OutsideAnswer);
}

function placeOf(bus: BusAddress): readonly string[] {
  return bus.kind === 'rtu'
    ? ['rtu', bus.path, String(bus.baud), bus.parity, String(bus.stopBits)]
    : [bus.kind, bus.host, String(bus.port)];
}

const PYMODBUS_CLIENT = ['/usr/bin/python3', join(import.meta.dirname, 'pymodbus-client.py')];

let built: Promise<string> | undefined;

/** The C program's path; it is compiled once for each test file that needs it. */
function libmodbusClient(): Promise<string> {
  built ??= compiled(join(import.meta.dirname, 'libmodbus-client.c'));
  return built;
}

/** Compiles a C program against libmodbus; its path. */
export async function compiled(source: string): Promise<string> {
  const program = join(await mkdtemp(join(tmpdir(), 'libmodbus-')), 'program');
  const { stdout } = await run(['pkg-config', '--cflags', '--libs', 'libmodbus']);
  const options = ['-std=c11', '-O2', '-Wall', '-Wextra', '-Werror', '-o', program, source];
  const { code, stderr } = await run(['gcc', ...options, ...stdout.trim().split(/\s+/u)]);
  if (code !== 0) throw new Error(`${source} does not compile:\n${stderr}`);
  return program;
}
