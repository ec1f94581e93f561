/**
 * Two serial ports joined back to back, as two ends of one cable; socat makes them out of pseudo-terminals.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export interface PtyPair {
  readonly paths: readonly [string, string];
  /** Pulls the cable out together with both ports. */
  readonly unplug: () => Promise<void>;
  /** Puts ports and cable back where they were. */
  readonly plug: () => Promise<void>;
  /** The same as `unplug`, for good. */
  readonly remove: () => Promise<void>;
}

const SOCAT = 'socat';
const READY = 'starting data transfer loop';

export async function ptyPair(): Promise<PtyPair> {
  const folder = await mkdtemp(join(tmpdir(), 'pty-pair-'));
  const paths = [join(folder, 'a'), join(folder, 'b')] as const;
  let socat: ChildProcess | undefined = await joined(paths);
  const unplug = async (): Promise<void> => {
    if (socat === undefined) return;
    const gone = once(socat, 'exit');
    socat.kill();
    await gone;
    socat = undefined;
  };
  return {
    paths,
    unplug,
    async plug() {
      socat ??= await joined(paths);
    },
    async remove() {
      await unplug();
      await rm(folder, { recursive: true });
    },
  };
}

/** Settles when bytes go through. */
async function joined(paths: readonly [string, string]): Promise<ChildProcess> {
  const ends = paths.map((path) => `pty,raw,echo=0,link=${path}`);
  const socat = spawn(SOCAT, ['-d', '-d', ...ends], { stdio: ['ignore', 'ignore', 'pipe'] });
  let said = '';
  for await (const chunk of socat.stderr.iterator({ destroyOnReturn: false })) {
    said += String(chunk);
    if (!said.includes(READY)) continue;
    socat.stderr.resume();
    return socat;
  }
  throw new Error(`socat joins no ports: ${said}`);
}
