/**
 * A bench as it is started, among people: what it logs of them at its most talkative, and how it ends while
 * they are all still there.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { connect } from 'node:net';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { expect, onTestFinished, test } from 'vitest';
import { WebSocket } from 'ws';
import { packageRoot } from '../../src/files/index.ts';
import { openRecord } from '../../src/record/index.ts';
import { freshFolder } from '../helpers/bench-process.ts';

const MAIN = join(packageRoot(), 'dist/src/app/main.js');
const TEACHER = 'teach-12345';
const VIEWER = 'watch-12345';
const STRANGER = 'other-12345';

interface Talkative {
  readonly page: string;
  readonly said: () => string;
  /** SIGTERM; resolves with its exit code once it has ended. */
  readonly end: () => Promise<number>;
}

async function talkative(data: string, ...args: readonly string[]): Promise<Talkative> {
  const given = ['serve', '--port', '0', '--bus', 'tcp://127.0.0.1:0', '--data', data, ...args];
  const env: NodeJS.ProcessEnv = { ...process.env, LEAKBENCH_LOG: 'trace' };
  delete env['LEAKBENCH_TOKEN'];
  const child = spawn(process.execPath, [MAIN, ...given], { env });
  onTestFinished(() => void child.kill('SIGKILL'));
  let said = '';
  const hear = (chunk: Buffer): void => {
    said += chunk.toString();
  };
  child.stdout.on('data', hear);
  child.stderr.on('data', hear);
  const ended = once(child, 'close');
  while (!said.includes('Ctrl-C')) {
    if (child.exitCode !== null) throw new Error(said);
    await setTimeout(20);
  }
  return {
    page: /page (http:\S+)/u.exec(said)?.[1] ?? '',
    said: () => said,
    end: async () => {
      child.kill('SIGTERM');
      return ((await ended) as [number])[0];
    },
  };
}

function asking(page: string, token: string) {
  return async (method: string, path: string, body?: unknown): Promise<Record<string, unknown>> => {
    const json = body === undefined ? {} : { 'content-type': 'application/json' };
    const answer = await fetch(page + path, {
      method,
      headers: { authorization: `Bearer ${token}`, ...json },
      body: body === undefined ? null : JSON.stringify(body),
    });
    return (await answer.json()) as Record<string, unknown>;
  };
}

test('what it logs at its most talkative holds no token, no code of a class, no key of a seat', async () => {
  const bench = await talkative(freshFolder(), '--token', TEACHER, '--token', `viewer:${VIEWER}`);
  const { page } = bench;
  // It is reached from this machine alone unless it is told otherwise.
  expect(page).toMatch(/^http:\/\/127\.0\.0\.1:\d+$/u);
  const teach = asking(page, TEACHER);
  for (const token of [VIEWER, STRANGER]) await asking(page, token)('POST', '/api/v1/steps', { fire: 'on' });
  await teach('GET', `/api/v1/now?token=${TEACHER}`);
  await teach('POST', '/api/v1/class', {});
  const { class: held } = (await teach('GET', '/api/v1/class')) as { class: { code: string } };
  const nobody = asking(page, STRANGER);
  await nobody('POST', '/api/v1/seat', { code: '333333', name: 'Ann' });
  const { key = '' } = (await nobody('POST', '/api/v1/seat', { code: held.code, name: 'Ann' })) as {
    key?: string;
  };
  expect(key.length).toBeGreaterThan(30);
  const seat = asking(page, key);
  await seat('GET', '/api/v1/seat');
  await seat('POST', '/api/v1/seat/answer', { causes: 7 });
  await seat('GET', `/api/v1/now?token=${key}`);
  await seat('GET', `/%zz?token=${key}`);
  for (const token of [VIEWER, STRANGER, key]) {
    const socket = new WebSocket(`${page.replace('http', 'ws')}/api/v1/stream?token=${token}`);
    await once(socket, token === VIEWER ? 'open' : 'unexpected-response');
  }
  expect(await bench.end()).toBe(130);
  expect(bench.said()).toContain('"path":"/api/v1/seat/answer"');
  for (const secret of [TEACHER, VIEWER, STRANGER, key, held.code])
    expect(bench.said()).not.toContain(secret);
});

test('it ends in order while a drill plays, clients listen, and some of them do not answer', async () => {
  const data = freshFolder();
  const bench = await talkative(data, '--speed', '20');
  const teach = asking(bench.page, TEACHER);
  await teach('POST', '/api/v1/drill', { id: 'test-gas-coil-a' });
  const stream = `${bench.page.replace('http', 'ws')}/api/v1/stream`;
  const [listens, stalls] = [new WebSocket(stream), new WebSocket(stream)];
  await Promise.all([once(listens, 'open'), once(stalls, 'open')]);
  stalls.pause();
  const idle = connect(Number(new URL(bench.page).port), '127.0.0.1');
  const half = connect(Number(new URL(bench.page).port), '127.0.0.1');
  half.write('POST /api/v1/steps HTTP/1.1\r\nHost: localhost\r\nContent-Length: 50\r\n\r\n{');
  for (const socket of [idle, half]) socket.on('error', () => undefined);
  await setTimeout(300);
  const closed = once(listens, 'close');
  const began = performance.now();
  expect(await bench.end()).toBe(130);
  console.log(`ended after ${Math.round(performance.now() - began)} ms`);
  expect(((await closed) as [number])[0]).toBe(1001);
  const record = openRecord({ folder: data, rigName: 'Tide Street' });
  onTestFinished(() => {
    record.close();
  });
  const last = record.readAfter(record.lastSequence() - 8, 8).map(({ type }) => type);
  expect(last.at(-1)).toBe('leakbench.bench.stopped');
  expect(last).toContain('leakbench.supervisor.stopped');
});
