/** A leakbench command as a process of its own, on ports that the system chose. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { packageRoot } from '../../src/files/index.ts';

const MAIN = join(packageRoot(), 'dist/src/app/main.js');
const START_MS_MAX = 20_000;

export interface BenchProcess {
  readonly child: ChildProcess;
  /** http://127.0.0.1:PORT of page and API. */
  readonly page: string;
  /** Port of each line where it speaks Modbus TCP, by id. */
  readonly lines: Readonly<Record<string, number>>;
  /** Every address of every line, in the order they were told. */
  readonly addresses: readonly { readonly line: string; readonly address: string }[];
  /** Ends it and resolves with its exit code. */
  stop(signal?: NodeJS.Signals): Promise<number | null>;
}

export interface Ended {
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

export function freshFolder(): string {
  return mkdtempSync(join(tmpdir(), 'leakbench-'));
}

/** Runs a command to its end; `nodeOptions` go to Node itself, and `under` is a command that runs it. */
export function runToEnd(
  args: readonly string[],
  nodeOptions: readonly string[] = [],
  under: readonly string[] = [],
): Promise<Ended> {
  const [command = '', ...rest] = [...under, process.execPath, ...nodeOptions, MAIN, ...args];
  const child = spawn(command, rest, { env: quietEnv() });
  let stdout = '';
  let stderr = '';
  child.stdout.on('data', (chunk: Buffer) => (stdout += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (stderr += chunk.toString()));
  return new Promise((resolve) => {
    child.on('close', (code) => {
      resolve({ code, stdout, stderr });
    });
  });
}

/** Starts one of them and kills it so soon that it may not have got anywhere. */
export async function killInStart(args: readonly string[], afterMs: number): Promise<void> {
  const child = spawn(process.execPath, [MAIN, ...args, '--port', '0'], { env: quietEnv(), stdio: 'ignore' });
  const ended = new Promise((resolve) => child.on('exit', resolve));
  await new Promise((resolve) => setTimeout(resolve, afterMs));
  child.kill('SIGKILL');
  await ended;
}

/**
 * Starts `serve`, `sim` or `supervise` and waits until it says that its page is there; `nodeOptions` go to
 * Node itself, `env` is added to its surroundings.
 */
export function startBench(
  args: readonly string[],
  nodeOptions: readonly string[] = [],
  env: Readonly<Record<string, string>> = {},
): Promise<BenchProcess> {
  const child = spawn(process.execPath, [...nodeOptions, MAIN, ...args, '--port', '0'], {
    env: { ...quietEnv(), ...env },
  });
  let said = '';
  const ended = new Promise<number | null>((resolve) => child.on('exit', resolve));
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => {
      child.kill('SIGKILL');
      reject(new Error(`no page within ${START_MS_MAX} ms: ${said}`));
    }, START_MS_MAX);
    void ended.then((code) => {
      clearTimeout(timer);
      reject(new Error(`ended with ${code} before its page was there: ${said}`));
    });
    child.stderr.on('data', (chunk: Buffer) => {
      said += chunk.toString();
      const page = /page (http:\S+)/u.exec(said)?.[1];
      if (page === undefined || !said.includes('Ctrl-C')) return;
      clearTimeout(timer);
      const told = [...said.matchAll(/ {2}listens: line (\S+) (\S+)/gu)];
      const addresses = told.map(([, line = '', address = '']) => ({ line, address }));
      const lines = addresses.flatMap(({ line, address }) => {
        const port = /^tcp:.*:(\d+)$/u.exec(address)?.[1];
        return port === undefined ? [] : [[line, Number(port)] as const];
      });
      resolve({
        child,
        page,
        lines: Object.fromEntries(lines),
        addresses,
        stop(signal = 'SIGINT') {
          child.kill(signal);
          return ended;
        },
      });
    });
  });
}

/** Without the variables that would change what a command says or where it listens. */
function quietEnv(): NodeJS.ProcessEnv {
  const env: NodeJS.ProcessEnv = { ...process.env, NO_COLOR: '1' };
  delete env['LEAKBENCH_TOKEN'];
  delete env['LEAKBENCH_QUEUE'];
  delete env['LEAKBENCH_LOG'];
  return env;
}
