/**
 * A fresh folder that looks like a checkout after `npm ci`, and where the machine allows it a network of its own, so
 * that commands may use the ports that a document shows.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { packageRoot } from '../../../src/files/index.ts';

const CHECKOUT: readonly string[] = [
  'dist',
  'node_modules',
  'sim',
  'src',
  'package.json',
  'package-lock.json',
];
const LOOPBACK_UP = 'ip link set lo up && echo up && exec sleep 86400';
/** As root, or as a user who may be root in a world of his own. */
const NETWORKS = [
  { unshare: ['-n'], nsenter: ['-n'] },
  { unshare: ['-r', '-n'], nsenter: ['-U', '-n', '--preserve-credentials'] },
];
/** Programs that not every machine has. */
const WHAT_IT_TAKES = 'ip link set lo up && command -v nsenter && command -v curl';
const network = NETWORKS.find(
  ({ unshare }) =>
    process.platform === 'linux' &&
    spawnSync('unshare', [...unshare, 'sh', '-c', WHAT_IT_TAKES]).status === 0,
);
/** Without it commands listen on the ports of the machine itself. */
export const HAS_OWN_NETWORK = network !== undefined;

export interface Running {
  /** What has come from it until now, both outputs as a terminal shows them. */
  readonly said: () => string;
  readonly hasEnded: () => boolean;
  readonly code: Promise<number>;
  readonly signal: (signal: NodeJS.Signals) => void;
}

export interface Place {
  readonly folder: string;
  readonly run: (script: string, input?: string) => Running;
  readonly close: () => void;
}

export async function openPlace(parts = CHECKOUT): Promise<Place> {
  const folder = mkdtempSync(join(tmpdir(), 'leakbench-document-'));
  for (const name of parts) symlinkSync(join(packageRoot(), name), join(folder, name));
  const holder = network === undefined ? null : await holdNetwork(network.unshare);
  const enter =
    network === undefined || holder === null
      ? []
      : ['nsenter', '-t', String(holder.pid), ...network.nsenter, '--'];
  const all: Running[] = [];
  return {
    folder,
    run: (script, input) => {
      const running = start([...enter, 'bash', '--norc', '-eo', 'pipefail', '-c', script], folder, input);
      all.push(running);
      return running;
    },
    close: () => {
      for (const running of all) if (!running.hasEnded()) running.signal('SIGKILL');
      holder?.kill('SIGKILL');
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** A network lives as long as a process in it. */
async function holdNetwork(options: readonly string[]): Promise<ChildProcess> {
  const holder = spawn('unshare', [...options, 'sh', '-c', LOOPBACK_UP], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  await once(holder.stdout, 'data');
  return holder;
}

function start(command: readonly string[], folder: string, input = ''): Running {
  const [program = '', ...args] = command;
  // A group of its own, as a shell gives it to what is started in a terminal: Ctrl-C reaches all of it.
  const child = spawn(program, args, { cwd: folder, detached: true, env: plainEnv() });
  child.stdin.end(input);
  let said = '';
  let hasEnded = false;
  const hear = (chunk: Buffer): void => {
    said += chunk.toString();
  };
  child.stdout.on('data', hear);
  child.stderr.on('data', hear);
  return {
    said: () => said,
    hasEnded: () => hasEnded,
    code: new Promise((resolve) => {
      child.on('close', (code, signal) => {
        hasEnded = true;
        resolve(code ?? (signal === 'SIGINT' ? 130 : 137));
      });
    }),
    signal: (signal) => {
      if (child.pid !== undefined) process.kill(-child.pid, signal);
    },
  };
}

/** No settings of whoever runs the tests; npm says nothing of its own, as with --silent. */
function plainEnv(): NodeJS.ProcessEnv {
  const { PATH, HOME } = process.env;
  return { PATH, HOME, NO_COLOR: '1', LC_ALL: 'C.UTF-8', npm_config_loglevel: 'silent' };
}
