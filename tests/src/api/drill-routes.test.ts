/** Drills, fresh starts and recordings over HTTP, and who may do which of it. */
import { describe, expect, test } from 'vitest';
import { wrongPolls } from '../../browser/harness/polls.ts';
import { ask, post, problemIn } from './ask.ts';
import { openApi } from './open-api.ts';

const TEACHER = 'teach-12345';
const VIEWER = 'watch-12345';
const TOKENS = [TEACHER, `viewer:${VIEWER}`];

const bearing = (token: string): Record<string, string> => ({ authorization: `Bearer ${token}` });

const REPORT = {
  id: 'fire',
  name: 'Fire',
  why: 'Fire comes first.',
  state: 'judged',
  beganAtMs: 5000,
  lengthMs: 60_000,
  steps: [{ atMs: 1000, text: 'fire signal on', done: true }],
  lesson: false,
  verdict: 'held',
  notes: [],
  rules: [
    {
      id: 'fire',
      result: 'held',
      margin: 12,
      unit: 's',
      atMs: 1000,
      sensor: null,
      because: ['all was off'],
    },
  ],
  expectations: [],
} as const;

describe('drills over HTTP', () => {
  test('are listed, played by name or text, stopped, and the bench says how they were judged', async () => {
    const { url, bench } = await openApi();
    const listed = JSON.parse((await ask(`${url}/api/v1/drills`)).text) as { drills: { id: string }[] };
    expect(listed.drills.map(({ id }) => id)).toEqual(['fire']);
    expect(problemIn(await ask(`${url}/api/v1/drill`)).detail).toContain('since the last fresh start');
    for (const wanted of [{ id: 'fire' }, { text: 'drill: 1' }]) {
      const played = await post(`${url}/api/v1/drill`, wanted);
      expect([played.status, JSON.parse(played.text)]).toEqual([200, { sequence: 0 }]);
    }
    expect(problemIn(await post(`${url}/api/v1/drill`, { id: 'dance' })).status).toBe(422);
    expect(problemIn(await ask(`${url}/api/v1/drill`, { method: 'DELETE' })).status).toBe(422);
    bench.report = structuredClone(REPORT) as unknown as typeof bench.report;
    expect(JSON.parse((await ask(`${url}/api/v1/drill`)).text)).toEqual(REPORT);
    expect((await ask(`${url}/api/v1/drill`, { method: 'DELETE' })).status).toBe(200);
    expect((await post(`${url}/api/v1/restart`, {})).status).toBe(200);
    expect(bench.asked).toEqual([
      { id: 'fire' },
      { text: 'drill: 1' },
      { id: 'dance' },
      'stop',
      'stop',
      'restart',
    ]);
  });

  test.each([
    ['drill', {}],
    ['drill', { id: 'fire', text: 'drill: 1' }],
    ['drill', { id: 7 }],
    ['restart', { now: true }],
    ['clock', { toNextEvent: false }],
    ['clock', { toNextEvent: true, speed: 5 }],
    ['clock', { toNextEvent: true, paused: false }],
  ])('are nothing of the wrong form: %s %j', async (route, body) => {
    const { url, bench } = await openApi();
    expect(problemIn(await post(`${url}/api/v1/${route}`, body))).toMatchObject({ status: 400 });
    expect(bench.asked).toEqual([]);
  });

  test('a recording has the name that was asked for, and is nowhere without a wire', async () => {
    const { url, bench } = await openApi();
    expect(problemIn(await ask(`${url}/api/v1/recording`)).detail).toContain('The sensors run elsewhere');
    bench.polls = wrongPolls();
    const named = await ask(`${url}/api/v1/recording?name=A%20leak`);
    expect(JSON.parse(named.text)).toEqual({ steps: 0, fromMs: 0, text: 'A leak' });
    for (const name of ['', '%20', 'x'.repeat(101)])
      expect(problemIn(await ask(`${url}/api/v1/recording?name=${name}`)).status).toBe(400);
  });

  test('the clock goes on to the next event', async () => {
    const { url, bench } = await openApi();
    expect((await post(`${url}/api/v1/clock`, { toNextEvent: true })).status).toBe(200);
    expect(bench.asked).toEqual([{ toNextEvent: true }]);
  });
});

describe('a viewer', () => {
  test('reads all of it', async () => {
    const { url, bench } = await openApi({ tokens: TOKENS });
    bench.report = structuredClone(REPORT) as unknown as typeof bench.report;
    bench.polls = wrongPolls();
    for (const path of ['drills', 'drill', 'recording'])
      expect((await ask(`${url}/api/v1/${path}`, { headers: bearing(VIEWER) })).status).toBe(200);
  });

  test('changes nothing by any route that the API describes, whatever it is called', async () => {
    const { url, bench } = await openApi({ tokens: TOKENS });
    const { paths } = JSON.parse((await ask(`${url}/openapi.json`)).text) as {
      paths: Record<string, Record<string, unknown>>;
    };
    // A seat's routes stand outside the roles: tests of the class hold those.
    const ofRoles = Object.entries(paths).filter(([path]) => !path.startsWith('/api/v1/seat'));
    const changes = ofRoles.flatMap(([path, methods]) =>
      Object.keys(methods).flatMap((method) => (method === 'get' ? [] : [[method, path] as const])),
    );
    expect(changes.length).toBeGreaterThanOrEqual(5);
    for (const [method, path] of changes) {
      const answer = await ask(url + path, {
        method: method.toUpperCase(),
        headers: bearing(VIEWER),
        ...(method === 'delete' ? {} : { body: {} }),
      });
      expect(problemIn(answer), path).toMatchObject({ type: '/problems/not-allowed', status: 403 });
    }
    expect(bench.asked).toEqual([]);
  });
});
