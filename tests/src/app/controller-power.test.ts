/** The command that switches an outside controller: real commands, some of which hang. */
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { type ControllerPower, powerByCommand } from '../../../src/app/controller-power.ts';

const SOON = { runMs: 200, endMs: 200 };
const HANGS = { runMs: 60_000, endMs: 200 };

interface Switched {
  readonly power: ControllerPower;
  readonly failures: readonly string[];
  readonly told: (file: string) => string;
}

/** A script that is run with the word as `$1`, in a folder of its own. */
function switchedBy(script: string, limits: Parameters<typeof powerByCommand>[2]): Switched {
  const folder = mkdtempSync(join(tmpdir(), 'leakbench-power-'));
  onTestFinished(() => {
    rmSync(folder, { recursive: true });
  });
  const file = join(folder, 'power.sh');
  writeFileSync(file, `cd '${folder}'\n${script}\n`);
  const failures: string[] = [];
  const power = powerByCommand(`sh '${file}'`, (reason) => failures.push(reason), limits);
  const told = (name: string): string => {
    const path = join(folder, name);
    return existsSync(path) ? readFileSync(path, 'utf8') : '';
  };
  return { power, failures, told };
}

/** Also where it is gone and nobody has asked how it ended. */
function isGone(pid: string): boolean {
  const stat = `/proc/${pid.trim()}/stat`;
  return !existsSync(stat) || readFileSync(stat, 'utf8').includes(' Z ');
}

/** Goes on in the background, as a controller that is started would, and is waited for. */
const OFF_HANGS = 'echo "$1" >> words; [ "$1" = on ] || { sleep 600 & echo $! > pid; wait; }';

test('is run with each word in turn, and its exit code counts', async () => {
  const { power, failures, told } = switchedBy('echo "$1" >> words; [ "$1" = on ]', undefined);
  await Promise.all([power.set(false), power.set(true)]);
  await power.close();
  expect([told('words'), failures]).toEqual(['off\non\n', ['ended with code 1']]);
});

test.runIf(process.platform === 'linux')(
  'a command that hangs is ended with all it started, and does not keep the next one from its turn',
  async () => {
    const { power, failures, told } = switchedBy(OFF_HANGS, SOON);
    await Promise.all([power.set(false), power.set(true)]);
    expect(told('words')).toBe('off\non\n');
    expect(failures).toEqual(['did not end within 0.2 s: it was killed, with all that it had started']);
    await expect.poll(() => isGone(told('pid'))).toBe(true);
  },
);

test.runIf(process.platform === 'linux')(
  'the end of the bench waits a moment for one that runs, not for one that hangs, and begins none',
  async () => {
    const { power, failures, told } = switchedBy(OFF_HANGS, HANGS);
    const off = power.set(false);
    const on = power.set(true);
    await power.close();
    await Promise.all([off, on, power.set(true)]);
    expect(told('words')).toBe('off\n');
    expect(failures).toEqual(['did not end before the bench: it was killed, with all that it had started']);
    await expect.poll(() => isGone(told('pid'))).toBe(true);
  },
);
