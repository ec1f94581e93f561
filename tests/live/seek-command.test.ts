/** `seek` as a QA engineer runs it: exit codes, documents, and a drill that breaks the same rule again. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { freshFolder, runToEnd } from '../helpers/bench-process.ts';
import { IDLE } from '../helpers/idle.ts';

const MAIN = join(packageRoot(), 'dist/src/app/main.js');
const RIG = join(packageRoot(), 'src/rig/tide-street.rig.yaml');
/** Does the same, but its alarm is on in every second drill. */
const MOODY = IDLE.replace('alarm: false', 'alarm: Date.now() % 2 === 0');

interface Sought {
  readonly drills: number;
  readonly interrupted: boolean;
  readonly findings: readonly { readonly rule: string; readonly file: string; readonly steps: number }[];
  readonly unsteady: { readonly file: string } | null;
  readonly coverage: {
    readonly rules: readonly { readonly id: string; readonly exercised: number }[];
    readonly outside: { readonly states: readonly { readonly what: string; readonly drills: number }[] };
  };
}

async function sought(
  args: readonly string[],
): Promise<{ readonly code: number | null; readonly document: Sought }> {
  const ended = await runToEnd(['seek', RIG, '--json', ...args]);
  return { code: ended.code, document: JSON.parse(ended.stdout) as Sought };
}

test('finds what a controller breaks, and the drill it writes breaks that again', async () => {
  const out = freshFolder();
  const args = ['--controller', IDLE, '--findings', '1', '--runs', '40', '--out', out];
  const { code, document } = await sought(args);
  expect(code).toBe(1);
  const [finding] = document.findings;
  expect(finding?.steps).toBeLessThanOrEqual(4);
  expect(readdirSync(out).map((name) => join(out, name))).toEqual([finding?.file]);

  const again = await runToEnd(['drill', finding?.file ?? '', '--controller', IDLE, '--json']);
  expect(again.code).toBe(1);
  const { drills } = JSON.parse(again.stdout) as { drills: { rules: { id: string; result: string }[] }[] };
  expect(drills[0]?.rules.map(({ id, result }) => [id, result])).toEqual([[finding?.rule, 'broken']]);
  expect((await runToEnd(['drill', finding?.file ?? ''])).code).toBe(0);
});

test('a seed gives the same on one thread and on two, and nothing breaks the built-in supervisor', async () => {
  const alone = await sought(['--runs', '12', '--seed', '5', '--workers', '1', '--out', freshFolder()]);
  const both = await sought(['--runs', '12', '--seed', '5', '--workers', '2', '--out', freshFolder()]);
  expect(alone.code).toBe(0);
  expect(alone.document.drills).toBe(12);
  expect(both.document.coverage).toEqual(alone.document.coverage);
  expect(alone.document.coverage.outside.states.map(({ what }) => what)).toContain('serving, called');
  expect(alone.document.coverage.rules.some(({ exercised }) => exercised > 0)).toBe(true);
});

test('a controller that does not do the same twice is told, with a drill', async () => {
  const out = freshFolder();
  const { code, document } = await sought(['--controller', MOODY, '--runs', '2', '--out', out]);
  expect(code).toBe(1);
  expect(document.unsteady?.file).toBe(join(out, 'not-the-same-twice-seed-1.drill.yaml'));
  expect((await runToEnd(['check', document.unsteady?.file ?? ''])).code).toBe(0);
});

test('interrupted, it ends with what it has, also on one thread that never waits', async () => {
  const out = join(freshFolder(), 'found');
  const args = ['seek', RIG, '--json', '--for', '10 min', '--workers', '1', '--out', out];
  const search = spawn(process.execPath, [MAIN, ...args]);
  let stdout = '';
  search.stdout.on('data', (chunk: Buffer) => {
    stdout += chunk.toString();
  });
  // It makes its folder as it begins; a second later it is at work.
  while (!existsSync(out)) await setTimeout(50);
  await setTimeout(1000);
  search.kill('SIGINT');
  const [code] = (await once(search, 'close')) as [number | null];
  expect(code).toBe(130);
  expect((JSON.parse(stdout) as Sought).interrupted).toBe(true);
});

test.each([
  [['--controller', 'external'], /takes builtin or exec:COMMAND here; external polls over real sockets/u],
  [['--controller', 'mine'], /takes builtin or exec:COMMAND here/u],
  [['--for', '5'], /--for 5: .*s, min/u],
  [['--runs', '0'], /whole number/u],
])('bad usage %j: 2', async (args, says) => {
  const ended = await runToEnd(['seek', RIG, ...args]);
  expect(ended.code).toBe(2);
  expect(ended.stderr).toMatch(says);
});

test.each(['1', '2'])('a controller that cannot be started, on %s threads: 3', async (workers) => {
  const out = freshFolder();
  const args = ['--controller', 'exec:no-such-command-here', '--workers', workers, '--out', out];
  const ended = await runToEnd(['seek', RIG, '--runs', '40', ...args]);
  expect(ended).toMatchObject({ code: 3, stdout: '' });
  expect(ended.stderr).toMatch(/could not be run.*\n.*not found/u);
  expect(ended.stderr).not.toMatch(/^\s+at /mu);
  expect(readdirSync(out)).toEqual([]);
});

test('a folder that cannot be written: 3', async () => {
  const ended = await runToEnd([
    'seek',
    RIG,
    '--controller',
    IDLE,
    '--findings',
    '1',
    '--out',
    '/dev/null/x',
  ]);
  expect(ended.code).toBe(3);
  expect(ended.stderr).toMatch(/\/dev\/null\/x/u);
  expect(ended.stderr).not.toMatch(/^\s+at /mu);
});
