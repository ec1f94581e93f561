/** Servers and load generators in processes of their own: from TypeScript by way of esbuild, and from C. */
import { type ChildProcess, fork, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';
import { packageRoot } from '../../src/files/index.ts';

/** Within the package, so that its own files and its dependencies are found from there. */
const BUILT = join(packageRoot(), 'tests/.tmp/bench');

export interface Running {
  readonly process: ChildProcess;
  stop(): Promise<void>;
}

/** Makes a program of each of these files of this folder. */
export async function buildPrograms(...names: readonly string[]): Promise<void> {
  await build({
    entryPoints: names.map((name) => join(import.meta.dirname, `${name}.ts`)),
    outdir: BUILT,
    outExtension: { '.js': '.mjs' },
    bundle: true,
    platform: 'node',
    format: 'esm',
    packages: 'external',
    logLevel: 'error',
  });
}

/**
 * Starts a program built before; with CPU_PROFILES set to a folder, what it spends its time on goes there.
 */
export function startProgram(name: string, ...options: readonly string[]): Running {
  const { CPU_PROFILES } = process.env;
  const profiling =
    CPU_PROFILES === undefined
      ? []
      : [
          '--cpu-prof',
          `--cpu-prof-dir=${CPU_PROFILES}`,
          `--cpu-prof-name=${[name, ...options].join('-')}.cpuprofile`,
        ];
  return running(fork(join(BUILT, `${name}.mjs`), [...options], { execArgv: profiling }));
}

/** Starts any other program; its standard output is piped. */
export function startOther(program: string, ...options: readonly string[]): Running {
  return running(spawn(program, options, { stdio: ['ignore', 'pipe', 'inherit'] }));
}

/** The next message of a program; rejects when it ends before. */
export async function messageOf<Message>({ process: child }: Running): Promise<Message> {
  const ended = new AbortController();
  const onExit = (code: number | null): void => {
    ended.abort(new Error(`ended with ${code}`));
  };
  child.once('exit', onExit);
  const [message] = (await once(child, 'message', { signal: ended.signal })) as [Message];
  child.off('exit', onExit);
  return message;
}

const MS_PER_TICK = 10;

/** What a process has used of the processors so far, as Linux counts it; NaN elsewhere. */
export function cpuMs({ process: { pid } }: Running): number {
  const file = `/proc/${pid}/stat`;
  if (!existsSync(file)) return Number.NaN;
  const stat = readFileSync(file, { encoding: 'utf8' });
  // The name, in brackets, may hold anything; user and system time are the twelfth and thirteenth after it.
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  return (Number(fields[11]) + Number(fields[12])) * MS_PER_TICK;
}

function running(child: ChildProcess): Running {
  const gone = once(child, 'exit');
  return {
    process: child,
    stop: async () => {
      if (child.connected) child.disconnect();
      else child.kill('SIGTERM');
      await gone;
    },
  };
}
