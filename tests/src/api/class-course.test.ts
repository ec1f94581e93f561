/** A class from its code to its scores, over HTTP. */
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, onTestFinished, test } from 'vitest';
import {
  type ClassView,
  classViewSchema,
  type SeatView,
  seatViewSchema,
} from '../../../src/api/class-schema.ts';
import { CLASS_LIFE_MS } from '../../../src/class/index.ts';
import { SCORE_MAX } from '../../../src/lesson/index.ts';
import { LESSON, RIGHT, WRONG } from '../class/classes.ts';
import { type Answer, ask, post, problemIn } from './ask.ts';
import { openApi } from './open-api.ts';
import { type Phone, type SmallClass, smallClass } from './small-class.ts';
import { openStream } from './stream-client.ts';

async function viewOf({ teach }: SmallClass): Promise<ClassView | null> {
  const { text } = await teach('GET', '/api/v1/class');
  const { class: view } = JSON.parse(text) as { readonly class: unknown };
  return view === null ? null : classViewSchema.parse(view);
}

async function seen(phone: Phone): Promise<SeatView> {
  return seatViewSchema.parse(JSON.parse((await phone.ask('GET', '/api/v1/seat')).text));
}

async function opened(): Promise<SmallClass> {
  const small = await smallClass();
  expect((await small.teach('POST', '/api/v1/class', {})).status).toBe(200);
  return small;
}

const begin = (small: SmallClass): Promise<Answer> =>
  small.teach('POST', '/api/v1/class/lesson', { id: LESSON.id });

/** What a class must not read before the lesson is revealed. */
const SECRETS = [LESSON.id, LESSON.name, LESSON.why, LESSON.shows, LESSON.safeNextStep, ...LESSON.teach];

describe('a class', () => {
  test('is nobody’s until it is opened, and one at a time', async () => {
    const small = await smallClass();
    expect(await viewOf(small)).toBeNull();
    expect(problemIn(await small.teach('DELETE', '/api/v1/class')).status).toBe(404);
    expect(problemIn(await small.teach('GET', '/api/v1/class/scores.csv')).status).toBe(404);
    expect((await small.teach('POST', '/api/v1/class')).status).toBe(200);
    expect(problemIn(await small.teach('POST', '/api/v1/class', {}))).toMatchObject({
      type: '/problems/class-conflict',
      status: 409,
    });
    const view = await viewOf(small);
    expect(view).toMatchObject({ seats: [], hand: null, lesson: null, scores: [], reachable: false });
    expect(view?.code).toMatch(/^[A-Z3-9]{6}$/u);
    expect(view?.joinUrls).toEqual([`${small.url}/join/?code=${view?.code ?? ''}`]);
    expect(view?.lessons.map(({ id, fits }) => [id, fits])).toEqual([[LESSON.id, null]]);
    expect(Date.parse(view?.expiresAt ?? '')).toBeGreaterThan(Date.now());
  });

  test('goes through a lesson: three phones answer, it is revealed, and there are scores', async () => {
    const small = await opened();
    const [ann, bob, cy] = [await small.join('Ann'), await small.join('Bob'), await small.join('Cy')];
    expect(await seen(ann)).toMatchObject({ name: 'Ann', phase: 'gathering', title: null, field: null });
    expect((await begin(small)).status).toBe(200);
    expect(small.played).toEqual([LESSON.id]);

    const running = await ann.ask('GET', '/api/v1/seat');
    for (const secret of SECRETS) expect(running.text).not.toContain(secret);
    const view = await seen(ann);
    expect(view).toMatchObject({ phase: 'running', title: LESSON.title, mayFlip: false, result: null });
    expect(view.field?.controller.state).toBe('running');
    expect(view.questions.parts.map(({ id }) => id)).toEqual(['coil-a', 'fan']);

    expect((await ann.ask('POST', '/api/v1/seat/answer', RIGHT)).status).toBe(200);
    expect((await bob.ask('POST', '/api/v1/seat/answer', RIGHT)).status).toBe(200);
    expect((await bob.ask('POST', '/api/v1/seat/answer', WRONG)).status).toBe(200);
    expect((await seen(bob)).answer).toEqual(WRONG);
    const before = await viewOf(small);
    expect(before?.seats.map(({ name, answer, score }) => [name, answer, score])).toEqual([
      ['Ann', RIGHT, null],
      ['Bob', WRONG, null],
      ['Cy', null, null],
    ]);
    expect(before?.lesson).toMatchObject({ id: LESSON.id, phase: 'running', solution: LESSON.solution });

    expect((await small.teach('POST', '/api/v1/class/reveal', {})).status).toBe(200);
    const { solution, shows, teach, safeNextStep } = LESSON;
    expect((await seen(ann)).result).toMatchObject({ solution, shows, teach, safeNextStep });
    const totals = await Promise.all(
      [ann, bob, cy].map(async (phone) => (await seen(phone)).result?.score.total),
    );
    expect(totals).toEqual([SCORE_MAX, 0, 0]);
    expect((await viewOf(small))?.scores.map(({ seat, total }) => [seat, total])).toEqual([
      ['Ann', SCORE_MAX],
      ['Bob', 0],
      ['Cy', 0],
    ]);
    expect(problemIn(await ann.ask('POST', '/api/v1/seat/answer', WRONG)).status).toBe(409);
    const csv = await small.teach('GET', '/api/v1/class/scores.csv');
    expect(csv.headers).toMatchObject({ 'content-type': 'text/csv; charset=utf-8' });
    expect(csv.text).toContain(`\r\n${LESSON.title},Ann,yes,1,1,1,1,4\r\n`);
  });

  test('tells whoever reads its events no more of a lesson than its title, until it is revealed', async () => {
    const small = await opened();
    const stream = await openStream(small.url, 'token=watch-12345');
    const ann = await small.join('Ann');
    await small.teach('POST', '/api/v1/class/hand', { to: 'everybody' });
    await begin(small);
    await ann.ask('POST', '/api/v1/seat/power', { sensor: 'coil-a', on: false });
    const { sequence } = JSON.parse((await small.teach('POST', '/api/v1/class/reveal', {})).text) as {
      readonly sequence: number;
    };
    await stream.got(sequence + 1);
    const types = stream.events.map(({ type }) => type.replace('leakbench.', ''));
    expect(types).toEqual([
      'class.opened',
      'class.joined',
      'lesson.started',
      'class.flipped',
      'lesson.revealed',
    ]);
    const told = JSON.stringify(stream.events.filter((event) => event.sequence <= sequence));
    for (const secret of [...SECRETS, ...LESSON.solution.causes, ...LESSON.solution.next, ann.key])
      expect(told).not.toContain(secret);
    const code = (await viewOf(small))?.code ?? '';
    expect(JSON.stringify(stream.events)).not.toContain(code);
    expect(stream.events.at(-1)?.data.fields).toMatchObject({ causes: LESSON.solution.causes });
  });

  test('ends with its keys and its code: when it is closed, and after twelve hours', async () => {
    for (const end of ['closed', 'over'] as const) {
      const small = await opened();
      const ann = await small.join('Ann');
      const code = (await viewOf(small))?.code;
      if (end === 'closed') await small.teach('DELETE', '/api/v1/class');
      else small.pass(CLASS_LIFE_MS);
      expect(problemIn(await ann.ask('GET', '/api/v1/seat')).type).toBe('/problems/seat-key-needed');
      const late = await post(`${small.url}/api/v1/seat`, { code, name: 'Bob' });
      expect(problemIn(late)).toMatchObject({ type: '/problems/class-missing', status: 404 });
      expect(await viewOf(small)).toBeNull();
      await small.teach('POST', '/api/v1/class', {});
      expect(problemIn(await ann.ask('GET', '/api/v1/seat')).status).toBe(401);
      expect((await viewOf(small))?.code).not.toBe(code);
    }
  });
});

describe('a lesson', () => {
  test('is refused with a sentence: unknown, before a class, a second one, or where it cannot be played', async () => {
    const none = await smallClass();
    expect(problemIn(await begin(none)).status).toBe(404);
    const small = await opened();
    const unknown = await small.teach('POST', '/api/v1/class/lesson', { id: 'nothing' });
    expect(problemIn(unknown)).toMatchObject({ status: 404, detail: 'No lesson of this bench has this id.' });
    expect((await begin(small)).status).toBe(200);
    expect(problemIn(await begin(small)).status).toBe(409);
    await small.teach('DELETE', '/api/v1/class/lesson');
    small.jam('This rig has no grille.');
    expect(problemIn(await begin(small))).toMatchObject({ status: 422, detail: 'This rig has no grille.' });
    expect((await viewOf(small))?.lesson).toBeNull();
  });

  test('is taken by its id or as text, and as one of them alone', async () => {
    const small = await opened();
    const wanted = (body: unknown) => small.teach('POST', '/api/v1/class/lesson', body);
    expect(problemIn(await wanted({})).status).toBe(400);
    expect(problemIn(await wanted({ id: LESSON.id, text: 'drill: 1' })).status).toBe(400);
    expect((await wanted({ text: 'drill: 1' })).status).toBe(200);
    expect(small.played).toEqual(['drill: 1']);
    expect((await viewOf(small))?.lesson).toMatchObject({ id: null, title: LESSON.title });
  });

  test('asked for twice at once begins once', async () => {
    const small = await opened();
    const statuses = (await Promise.all([begin(small), begin(small)])).map(({ status }) => status);
    expect(statuses.sort()).toEqual([200, 409]);
    expect(small.played).toHaveLength(1);
  });

  test('that is dropped, or whose class is closed, stops its drill; one that is revealed goes on', async () => {
    const small = await opened();
    await begin(small);
    expect((await small.teach('DELETE', '/api/v1/class/lesson')).status).toBe(200);
    expect(small.stopped()).toBe(1);
    await begin(small);
    await small.teach('POST', '/api/v1/class/reveal', {});
    await small.teach('DELETE', '/api/v1/class/lesson');
    expect(small.stopped()).toBe(1);
    await begin(small);
    await small.teach('DELETE', '/api/v1/class');
    expect(small.stopped()).toBe(2);
  });
});

describe('the hand', () => {
  const power = '/api/v1/seat/power';

  test('is given to all or to one seat, and lets it switch the supply of a sensor, on record by its name', async () => {
    const small = await opened();
    const [ann, bob] = [await small.join('Ann'), await small.join('Bob')];
    await begin(small);
    const off = { sensor: 'coil-a', on: false };
    expect(problemIn(await ann.ask('POST', power, off))).toMatchObject({
      type: '/problems/no-hand',
      status: 403,
    });
    expect((await small.teach('POST', '/api/v1/class/hand', { to: ann.seat })).status).toBe(200);
    expect((await seen(ann)).mayFlip).toBe(true);
    expect((await ann.ask('POST', power, off)).status).toBe(200);
    expect(problemIn(await bob.ask('POST', power, { ...off, on: true })).status).toBe(403);
    // Already so: nothing is done, and nothing is put on record.
    expect((await ann.ask('POST', power, off)).status).toBe(200);
    expect(small.flipped).toEqual([['coil-a', false]]);
    const flips = small.record.readAfter(0, 100).filter(({ type }) => type.endsWith('class.flipped'));
    expect(flips.map(({ data }) => data.text)).toEqual(['Ann switched the supply of coil-a off']);
  });

  test.each(['rig', 'controller', 'fan', 'coil-z', '__proto__'])('switches no %s', async (sensor) => {
    const small = await opened();
    const ann = await small.join('Ann');
    await begin(small);
    await small.teach('POST', '/api/v1/class/hand', { to: 'everybody' });
    expect(problemIn(await ann.ask('POST', power, { sensor, on: false })).status).toBe(422);
    expect(small.flipped).toEqual([]);
  });

  test('switches nothing while the class gathers', async () => {
    const small = await opened();
    const ann = await small.join('Ann');
    await small.teach('POST', '/api/v1/class/hand', { to: ann.seat });
    expect(problemIn(await ann.ask('POST', power, { sensor: 'coil-a', on: false })).status).toBe(403);
    expect(problemIn(await small.teach('POST', '/api/v1/class/hand', { to: 'seat-9' })).status).toBe(404);
  });
});

describe('a seat', () => {
  test('that is removed has no key any more, and its name is free', async () => {
    const small = await opened();
    const ann = await small.join('Ann');
    const again = await post(`${small.url}/api/v1/seat`, { code: (await viewOf(small))?.code, name: 'ann' });
    expect(problemIn(again)).toMatchObject({ status: 409 });
    expect((await small.teach('DELETE', `/api/v1/class/seats/${ann.seat}`)).status).toBe(200);
    expect(problemIn(await small.teach('DELETE', `/api/v1/class/seats/${ann.seat}`)).status).toBe(404);
    expect(problemIn(await ann.ask('GET', '/api/v1/seat')).status).toBe(401);
    expect((await small.join('ann')).seat).not.toBe(ann.seat);
  });

  test('is present while it asks', async () => {
    const small = await opened();
    const ann = await small.join('Ann');
    const present = async () => (await viewOf(small))?.seats[0]?.present;
    expect(await present()).toBe(true);
    small.pass(6000);
    expect(await present()).toBe(false);
    await seen(ann);
    expect(await present()).toBe(true);
  });
});

test('where the sensors run elsewhere there is no class, and a sentence says where there is', async () => {
  const { url } = await openApi();
  for (const answer of [
    await ask(`${url}/api/v1/class`),
    await post(`${url}/api/v1/class`, {}),
    await post(`${url}/api/v1/seat`, { code: 'ACDEFH', name: 'Ann' }),
    await ask(`${url}/api/v1/seat`, { headers: { authorization: 'Bearer 123' } }),
  ]) {
    expect(problemIn(answer)).toMatchObject({ type: '/problems/class-missing', status: 404 });
    expect(problemIn(answer).detail).toContain('leakbench sim or serve');
  }
});

test('the phones’ page is there without a token, under any name the bench is reached by', async () => {
  const pageFolder = await mkdtemp(join(tmpdir(), 'leakbench-page-'));
  onTestFinished(() => rm(pageFolder, { recursive: true }));
  await mkdir(join(pageFolder, 'join'));
  await writeFile(join(pageFolder, 'index.html'), 'bench');
  await writeFile(join(pageFolder, 'join/index.html'), 'join');
  const { url } = await smallClass({ pageFolder });
  const answer = await ask(`${url}/join/?code=ACDEFH`, { headers: { host: '192.168.1.20:7580' } });
  expect([answer.status, answer.text]).toEqual([200, 'join']);
});
