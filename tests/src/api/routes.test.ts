import { describe, expect, test } from 'vitest';
import { wrongPolls } from '../../browser/harness/polls.ts';
import { pressed, upTo } from '../record/facts.ts';
import { ask, post, problemIn } from './ask.ts';
import { openApi } from './open-api.ts';

describe('what the API tells', () => {
  test('is the rig and the bench as it is now, and nobody keeps it', async () => {
    const { url, bench } = await openApi();
    const rig = await ask(`${url}/api/v1/rig`);
    expect(rig.headers).toMatchObject({ 'cache-control': 'no-store' });
    expect(JSON.parse(rig.text)).toEqual(bench.rigView());
    const now = await ask(`${url}/api/v1/now`);
    expect(JSON.parse(now.text)).toEqual(bench.snapshot());
  });

  test('is what the controller asks, and that nobody knows where the sensors run elsewhere', async () => {
    const { url, bench } = await openApi();
    const elsewhere = problemIn(await ask(`${url}/api/v1/poll-report`));
    expect(elsewhere).toMatchObject({ status: 404 });
    expect(elsewhere.detail).toContain('The sensors run elsewhere');
    const polls = wrongPolls();
    bench.polls = polls;
    expect(JSON.parse((await ask(`${url}/api/v1/poll-report`)).text)).toEqual(polls);
    expect(polls.advice.length).toBeGreaterThan(0);
  });

  test('is counted anew where the sensors run, and on no other word', async () => {
    const { url, bench } = await openApi();
    const anew = `${url}/api/v1/poll-report/anew`;
    expect(problemIn(await post(anew, {}))).toMatchObject({ status: 422 });
    bench.polls = wrongPolls();
    expect((await post(anew, {})).status).toBe(200);
    expect(problemIn(await post(anew, { line: 'main' })).status).toBe(400);
    expect(bench.asked).toEqual(['count polls anew', 'count polls anew']);
  });

  test('is every stored event, in pages from any sequence on', async () => {
    const { url, record } = await openApi();
    record.append(upTo(150).map(pressed));
    const events = async (query: string): Promise<unknown> =>
      JSON.parse((await ask(`${url}/api/v1/events${query}`)).text);
    expect(await events('')).toEqual({ events: record.readAfter(0, 100) });
    expect(await events('?after=140')).toEqual({ events: record.readAfter(140, 100) });
    expect(await events('?after=3&limit=2')).toEqual({ events: record.readAfter(3, 2) });
    expect(await events('?after=150')).toEqual({ events: [] });
    expect(await events('?after=9999')).toEqual({ events: [] });
  });

  test.each(['after=-1', 'after=x', 'after=1.5', 'limit=0', 'limit=1001', 'limit=', 'after=1&after=2'])(
    'is refused for %s, with the place of the mistake',
    async (query) => {
      const { url } = await openApi();
      const problem = problemIn(await ask(`${url}/api/v1/events?${query}`));
      expect(problem).toMatchObject({ type: '/problems/bad-request', status: 400 });
      expect(problem.errors?.[0]?.pointer).toBe(`/${query.split('=', 1)[0] ?? ''}`);
    },
  );

  test('never is a snapshot of the wrong form: that is a fault, and it is in the log', async () => {
    const { url, bench, log } = await openApi();
    bench.shown = { ...bench.shown, nowMs: Number.NaN };
    const problem = problemIn(await ask(`${url}/api/v1/now`));
    expect(problem).toMatchObject({ type: '/problems/internal', status: 500 });
    expect(log.join('')).toContain('nowMs');
    expect(problem.requestId).toMatch(/^req-/u);
    expect(
      log.some((line) => line.includes(`"${problem.requestId ?? ''}"`) && line.includes('request failed')),
    ).toBe(true);
  });
});

describe('what the API has done', () => {
  test('is a step as it was asked for; what comes of it is told after the answer’s sequence', async () => {
    const { url, bench, record } = await openApi();
    record.append([pressed(1)]);
    const answer = await post(`${url}/api/v1/steps`, { fire: 'on' });
    expect([answer.status, JSON.parse(answer.text)]).toEqual([200, { sequence: 1 }]);
    expect(bench.asked).toEqual([{ fire: 'on' }]);
  });

  test('is a change of the clock', async () => {
    const { url, bench } = await openApi();
    expect((await post(`${url}/api/v1/clock`, { speed: 20, paused: true })).status).toBe(200);
    expect((await post(`${url}/api/v1/clock`, { paused: false })).status).toBe(200);
    expect(bench.asked).toEqual([{ speed: 20, paused: true }, { paused: false }]);
  });

  test('is nothing that the bench refuses: its own sentence says why', async () => {
    const { url } = await openApi();
    const step = problemIn(await post(`${url}/api/v1/steps`, { dance: {} }));
    expect(step).toMatchObject({ type: '/problems/step-refused', status: 422 });
    expect(step.detail).toBe('This small bench knows no such step.');
    expect(problemIn(await post(`${url}/api/v1/clock`, { speed: 13 })).status).toBe(422);
  });

  test.each([
    ['steps', []],
    ['steps', 'null'],
    ['steps', '7'],
    ['clock', { speed: 0 }],
    ['clock', { speed: 21 }],
    ['clock', { speed: 'fast' }],
    ['clock', { hurry: true }],
  ])('is nothing of the wrong form: %s %j', async (route, body) => {
    const { url, bench } = await openApi();
    expect(problemIn(await post(`${url}/api/v1/${route}`, body))).toMatchObject({ status: 400 });
    expect(bench.asked).toEqual([]);
  });
});
