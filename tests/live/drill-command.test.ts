/** `drill` as a QA engineer runs it: exit codes, documents on the right outputs, and nothing left behind. */
import { spawn } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { freshFolder, runToEnd } from '../helpers/bench-process.ts';
import { IDLE } from '../helpers/idle.ts';

const LIBRARY = join(packageRoot(), 'sim/drill/library');
const SHORT = join(LIBRARY, 'test-gas-coil-a.drill.yaml');
const RIG = join(packageRoot(), 'src/rig/tide-street.rig.yaml');
const MAIN = join(packageRoot(), 'dist/src/app/main.js');

function drillFile(text: string): string {
  const file = join(freshFolder(), 'my.drill.yaml');
  writeFileSync(file, `drill: 1\nname: mine\nrig: ${RIG}\nlength: 1 min\n${text}`);
  return file;
}

test('held: 0, with a short report on standard output', async () => {
  const ended = await runToEnd(['drill', SHORT]);
  expect(ended).toMatchObject({ code: 0, stderr: '' });
  expect(ended.stdout).toMatch(/^HELD/u);
  expect(ended.stdout).toMatch(/1 of 1 drill held\.\nSimulation and training only/u);
});

test('on the rig that --rig names, in the place of its own', async () => {
  const rig = join(freshFolder(), 'mine.rig.yaml');
  const demo = readFileSync(RIG, 'utf8').replace('respondWithin: 15 s', 'respondWithin: 14 s');
  writeFileSync(rig, demo);
  const ended = await runToEnd(['drill', SHORT, '--rig', rig]);
  expect(ended).toMatchObject({ code: 0, stderr: '' });
  expect(ended.stdout).toMatch(/held +respond +\+14\.0 s/u);
  writeFileSync(rig, demo.replaceAll('coil-a', 'inlet'));
  const other = await runToEnd(['drill', SHORT, '--rig', rig]);
  expect(other.code).toBe(2);
  expect(other.stderr).toMatch(/test-gas-coil-a\.drill\.yaml:\d+:\d+: .*"coil-a"/u);
  expect(other.stderr).toContain(`${rig}:1:1: is the rig of --rig and has sensors inlet, coil-b and grille`);
});

test('a name that is nearly that of a shipped drill: 2, and which was meant', async () => {
  const ended = await runToEnd(['drill', 'gas-linger']);
  expect(ended.code).toBe(2);
  expect(ended.stderr).toContain('did you mean "gas-lingers"?');
});

test('the same seed gives the same bytes, in every report that has no date', async () => {
  const [first, again] = [
    await runToEnd(['drill', '--json', SHORT]),
    await runToEnd(['drill', '--json', SHORT]),
  ];
  expect(again.stdout).toBe(first.stdout);
  expect(JSON.parse(first.stdout)).toMatchObject({ drills: [{ seed: 1, verdict: 'held' }] });
});

test('broken: 1, and every report is written all the same', async () => {
  const folder = freshFolder();
  const [html, junit] = [join(folder, 'v.html'), join(folder, 'v.xml')];
  const ended = await runToEnd(['drill', SHORT, '--controller', IDLE, '--html', html, '--junit', junit]);
  expect(ended.code).toBe(1);
  expect(ended.stdout).toMatch(/^BROKEN/u);
  expect(ended.stdout).toMatch(/broken +respond/u);
  expect(readFileSync(html, 'utf8')).toMatch(/^<!doctype html>[\s\S]*Simulation and training only/u);
  expect(readFileSync(junit, 'utf8')).toMatch(/<failure [^>]*/u);
});

test('an expectation whose time never came has failed, and says so', async () => {
  const ended = await runToEnd(['drill', drillFile('expect: [{ when: fire, then: not fan }]\n')]);
  expect(ended.code).toBe(1);
  expect(ended.stdout).toMatch(/never/u);
});

test('a drill that exercises none of the rules it lists is broken, and says so', async () => {
  const ended = await runToEnd(['drill', drillFile('rules: [fire, latch]\n')]);
  expect(ended.code).toBe(1);
  expect(ended.stdout).toMatch(/Nothing that this drill lists was exercised/u);
});

test('a bad file: 2, with file, line, column and what to write instead; nothing is run', async () => {
  const bad = drillFile('steps: [{ at: 10, testGas: { at: coil-c, level: 40 %LFL } }]\n');
  const ended = await runToEnd(['drill', SHORT, bad]);
  expect(ended.code).toBe(2);
  expect(ended.stdout).toBe('');
  expect(ended.stderr).toMatch(/my\.drill\.yaml:5:\d+: steps\[0\]\.at: 10 needs its unit/u);
  expect(ended.stderr).not.toMatch(/^\s+at /mu);
});

test.each([
  [['--controller', 'external'], /add --live/u],
  [['--controller', 'exec:', '--live'], /takes builtin, external or exec:COMMAND/u],
  [['--controller', 'exec:true', '--live'], /leave --live out/u],
])('bad usage %j: 2', async (args, says) => {
  const ended = await runToEnd(['drill', SHORT, ...args]);
  expect(ended.code).toBe(2);
  expect(ended.stderr).toMatch(says);
});

test('a controller that cannot be started: 3, and what the shell says', async () => {
  const ended = await runToEnd(['drill', SHORT, '--controller', 'exec:no-such-command-here', '--json']);
  expect(ended).toMatchObject({ code: 3, stdout: '' });
  expect(ended.stderr).toMatch(/^the command of --controller could not be run.*\n.*not found\n$/u);
});

test('a port in use: 3, and what to do', async () => {
  const taken = createServer();
  await new Promise<void>((resolve) => taken.listen(0, '127.0.0.1', resolve));
  const { port } = taken.address() as { port: number };
  const ended = await runToEnd(['drill', SHORT, '--live', '--bus', `tcp://127.0.0.1:${port}`]);
  taken.close();
  expect(ended.code).toBe(3);
  expect(ended.stderr).toMatch(/in use.*--bus/u);
});

test('a report that cannot be written: 3', async () => {
  const ended = await runToEnd(['drill', SHORT, '--html', join(freshFolder(), 'no', 'such.html')]);
  expect(ended.code).toBe(3);
  expect(ended.stderr).toMatch(/such\.html cannot be written/u);
});

test('interrupted: 130, and the controller does not outlive it', async () => {
  const pidFile = join(freshFolder(), 'pid');
  const hangs = `exec:echo $$ > ${pidFile}; exec sleep 600`;
  const bench = spawn(process.execPath, [MAIN, 'drill', SHORT, '--controller', hangs]);
  while (!existsSync(pidFile) || readFileSync(pidFile, 'utf8') === '') {
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  bench.kill('SIGINT');
  const code = await new Promise((resolve) => bench.on('exit', resolve));
  expect(code).toBe(130);
  const status = `/proc/${readFileSync(pidFile, 'utf8').trim()}/status`;
  await new Promise((resolve) => setTimeout(resolve, 200));
  expect(existsSync(status) ? readFileSync(status, 'utf8') : 'State: X').toMatch(/^State:\s+[XZ]/mu);
});
