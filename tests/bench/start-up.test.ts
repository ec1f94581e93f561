/** How long a person waits: for `--help`, and for the first page of `serve`, beside a Node that does nothing. */
import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { expect, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { freshFolder } from '../helpers/bench-process.ts';
import { figure, keepFigures } from './figures.ts';

const ROUNDS = 11;
const MAIN = join(packageRoot(), 'dist/src/app/main.js');

test('until help is there, and until the page is', { timeout: 300_000 }, async () => {
  const [help, page, bare]: [number[], number[], number[]] = [[], [], []];
  // The first round fills the system's caches and does not count.
  for (let round = 0; round <= ROUNDS; round += 1) {
    const times = { bare: ended('-e', '0'), help: ended(MAIN, '--help'), page: await answered() };
    if (round === 0) continue;
    bare.push(times.bare);
    help.push(times.help);
    page.push(times.page);
  }
  const beside = { name: 'node -e 0', values: bare };
  keepFigures([
    figure('`leakbench --help`', 'ms', help, beside, 'under 150 ms'),
    figure('`leakbench serve`, until the page answers', 'ms', page, beside, 'under 1,000 ms'),
  ]);
});

function ended(...words: readonly string[]): number {
  const began = performance.now();
  const { status } = spawnSync(process.execPath, words, { stdio: 'ignore' });
  expect(status).toBe(0);
  return performance.now() - began;
}

/** From the start of the process to the last byte of its page. */
async function answered(): Promise<number> {
  const began = performance.now();
  const options = ['--port', '0', '--bus', 'tcp://127.0.0.1:0', '--data', freshFolder()];
  const child = spawn(process.execPath, [MAIN, 'serve', ...options], { stdio: ['ignore', 'ignore', 'pipe'] });
  let said = '';
  for await (const chunk of child.stderr.iterator({ destroyOnReturn: false })) {
    said += String(chunk);
    const page = /page (http:\S+)/u.exec(said)?.[1];
    if (page === undefined) continue;
    const answer = await fetch(page);
    expect(await answer.text()).toContain('leakbench');
    break;
  }
  const tookMs = performance.now() - began;
  child.stderr.resume();
  child.kill('SIGINT');
  await once(child, 'exit');
  return tookMs;
}
