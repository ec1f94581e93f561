/** `seek` as a process of its own, either side of a queue: what it said until now, and how it ended. */
import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { packageRoot } from '../../src/files/index.ts';
import type { Ended } from './bench-process.ts';

const MAIN = 'dist/src/app/main.js';

export interface SeekProcess {
  readonly child: ChildProcess;
  readonly ended: Promise<Ended>;
  /** Resolves once it has said so on standard error; rejects where it ends without. */
  says(what: RegExp): Promise<void>;
}

/** `root`: of the package whose command is run. */
export function startSeek(args: readonly string[], root = packageRoot()): SeekProcess {
  const env: NodeJS.ProcessEnv = { ...process.env, NO_COLOR: '1' };
  delete env['LEAKBENCH_QUEUE'];
  const child = spawn(process.execPath, [join(root, MAIN), 'seek', ...args], { env });
  let [stdout, stderr] = ['', ''];
  const waiting = new Set<() => void>();
  child.stdout.on('data', (chunk: Buffer) => (stdout += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => {
    stderr += chunk.toString();
    for (const look of waiting) look();
  });
  const ended = new Promise<Ended>((resolve) => {
    child.on('close', (code) => {
      resolve({ code, stdout, stderr });
    });
  });
  return {
    ...{ child, ended },
    says: (what) =>
      new Promise((resolve, reject) => {
        const look = (): void => {
          if (!what.test(stderr)) return;
          waiting.delete(look);
          resolve();
        };
        waiting.add(look);
        look();
        void ended.then(({ code }) => {
          reject(new Error(`ended with ${code} and never said ${String(what)}: ${stderr}`));
        });
      }),
  };
}
