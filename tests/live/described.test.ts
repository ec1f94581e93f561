/** What a running bench answers and streams is what its two descriptions say. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { FAULTS } from '../../sim/faults/index.ts';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';
import { answersBy, eventsBy } from '../helpers/described.ts';
import { Stream } from '../helpers/outside-view.ts';

let bench: BenchProcess;
let check: ReturnType<typeof answersBy>;
let paths: Readonly<Record<string, Readonly<Record<string, unknown>>>>;

beforeAll(async () => {
  const bus = ['--bus', 'tcp://127.0.0.1:0'];
  bench = await startBench(['serve', '--speed', '20', '--data', freshFolder(), ...bus]);
  const document: unknown = await (await fetch(`${bench.page}/openapi.json`)).json();
  check = answersBy(document);
  ({ paths } = document as { paths: typeof paths });
});

afterAll(async () => {
  await bench.stop();
});

/** The status, once the answer has been held to its description. */
async function held(method: string, path: string, body?: unknown, described = path): Promise<number> {
  const json = body === undefined ? {} : { body: JSON.stringify(body) };
  const headers = body === undefined ? {} : { 'content-type': 'application/json' };
  const answer = await fetch(bench.page + path, { method, headers, ...json });
  const type = answer.headers.get('content-type') ?? '';
  const heard = { method, path: described, status: answer.status, type, text: await answer.text() };
  expect(check(heard)).toBeNull();
  return answer.status;
}

test('every change that is made, and every one that is refused', async () => {
  const step = (body: unknown) => held('POST', '/api/v1/steps', body);
  expect(await step({ call: { cooling: 'on' } })).toBe(200);
  expect(await step({ release: { at: 'cabinet', rate: '10 g/s', lasts: '3 min' } })).toBe(200);
  expect(await step({ fault: { in: 'coil-b', kind: 'saturated', lasts: '20 s' } })).toBe(200);
  expect(await step({ fault: { in: 'coil-a', kind: 'offset', by: '-5 %LFL' } })).toBe(200);
  expect(await step({ fault: { in: 'airflow', kind: 'airflow-switch-stuck' } })).toBe(200);
  expect(await step({ fault: { in: 'nobody', kind: 'silent' } })).toBe(422);
  expect(await step('cool')).toBe(400);
  expect(await held('POST', '/api/v1/clock', { speed: 99 })).toBe(400);
  expect(await held('POST', '/api/v1/class', {})).toBe(200);
  expect(await held('POST', '/api/v1/class', {})).toBe(409);
  expect(await held('POST', '/api/v1/class/lesson', { id: 'none' })).toBe(404);
  expect(await held('POST', '/api/v1/seat', { code: 'AAAAAA', name: 'Ann' })).toBe(404);
  expect(await held('GET', '/problems/none', undefined, '/problems/{id}')).toBe(404);
});

test('every GET, with gas, faults, a class and a drill under way', async () => {
  expect(await held('POST', '/api/v1/drill', { id: 'fire' })).toBe(200);
  const statuses: Record<string, number> = {};
  for (const path of Object.keys(paths).filter((one) => paths[one]?.['get'] !== undefined)) {
    statuses[path] = await held('GET', path.replace('{id}', 'not-found'), undefined, path);
  }
  expect(Object.keys(statuses).length).toBeGreaterThan(14);
  const odd = Object.entries(statuses).filter(([, status]) => status !== 200);
  expect(Object.fromEntries(odd)).toEqual({ '/api/v1/seat': 401, '/api/v1/stream': 426 });
  const { faultKinds } = (await (await fetch(`${bench.page}/api/v1/rig`)).json()) as {
    faultKinds: unknown[];
  };
  expect(faultKinds).toHaveLength(Object.keys(FAULTS).length);
});

test('every event, more than a hundred of a dozen types', async () => {
  const wrong = eventsBy(await (await fetch(`${bench.page}/asyncapi.json`)).json());
  const stream = new Stream(bench.page);
  await expect.poll(() => stream.events.length, { timeout: 60_000 }).toBeGreaterThan(100);
  stream.close();
  expect(stream.events.flatMap((event) => wrong(event) ?? [])).toEqual([]);
  expect(new Set(stream.events.map(({ type }) => type)).size).toBeGreaterThan(12);
});
