/** Who gets into a class, and how far a seat’s key goes: to its own routes and nowhere else. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LESSON, RIGHT } from '../class/classes.ts';
import { ask, post, problemIn } from './ask.ts';
import { bearing, type SmallClass, smallClass, TEACHER, VIEWER } from './small-class.ts';
import { openStream, refusedStream } from './stream-client.ts';

interface Route {
  readonly method: string;
  readonly path: string;
}

/** Every route of the API that is not open to all. */
async function routesOf(url: string): Promise<readonly Route[]> {
  const { paths } = JSON.parse((await ask(`${url}/openapi.json`)).text) as {
    readonly paths: Readonly<Record<string, Readonly<Record<string, { readonly security: unknown[] }>>>>;
  };
  const described = Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods)
      .filter(([, { security }]) => security.length > 0)
      .map(([method]) => ({ method: method.toUpperCase(), path: path.replace(/\{.+\}/u, 'seat-1') })),
  );
  const heads = described
    .filter(({ method }) => method === 'GET')
    .map(({ path }) => ({ method: 'HEAD', path }));
  return [...described, ...heads];
}

const isSeats = ({ path }: Route): boolean => /^\/api\/v1\/seat(?:\/|$)/u.test(path);
const isClass = ({ path }: Route): boolean => /^\/api\/v1\/class(?:\/|$)/u.test(path);

async function withClass(): Promise<SmallClass> {
  const small = await smallClass();
  await small.teach('POST', '/api/v1/class', {});
  return small;
}

describe('a seat’s key', () => {
  test('opens no route but its own, by any method', async () => {
    const small = await withClass();
    const { key } = await small.join('Ann');
    const others = (await routesOf(small.url)).filter((route) => !isSeats(route));
    expect(others.length).toBeGreaterThan(20);
    for (const { method, path } of others) {
      const { status } = await ask(small.url + path, { method, headers: bearing(key) });
      expect([method, path, status]).toEqual([method, path, 401]);
    }
    expect(small.bench.asked).toEqual([]);
    expect((await refusedStream(small.url, `token=${key}`)).status).toBe(401);
    expect((await refusedStream(small.url, '', { headers: bearing(key) })).status).toBe(401);
  });

  test('is the phone’s own: a role’s token is none, and it does not come in the address', async () => {
    const small = await withClass();
    const { key } = await small.join('Ann');
    for (const headers of [
      {},
      bearing(TEACHER),
      bearing(VIEWER),
      bearing(key.slice(1)),
      { authorization: key },
    ]) {
      const answer = await ask(`${small.url}/api/v1/seat?token=${key}`, { headers });
      expect(problemIn(answer)).toMatchObject({ type: '/problems/seat-key-needed', status: 401 });
    }
    expect((await ask(`${small.url}/api/v1/seat`, { headers: bearing(key) })).status).toBe(200);
  });

  test('is drawn anew for each seat, longer than anybody can guess, and never written down', async () => {
    const small = await withClass();
    const phones = [await small.join('Ann'), await small.join('Bob')];
    expect(new Set(phones.map(({ key }) => key)).size).toBe(2);
    await phones[0]?.ask('GET', '/api/v1/seat');
    const written = small.log.join('') + JSON.stringify(small.record.readAfter(0, 100));
    const shown = (await small.teach('GET', '/api/v1/class')).text;
    for (const { key } of phones) {
      expect(Buffer.from(key, 'base64url').length * 8).toBeGreaterThanOrEqual(128);
      expect(written).not.toContain(key);
      expect(shown).not.toContain(key);
    }
  });

  test('is asked for before anything else of a request', async () => {
    const small = await withClass();
    for (const path of ['/api/v1/seat/answer', '/api/v1/seat/power'])
      expect(problemIn(await post(small.url + path, { odd: true })).status).toBe(401);
  });

  test('from a page of another site changes nothing', async () => {
    const small = await withClass();
    const { key } = await small.join('Ann');
    await small.teach('POST', '/api/v1/class/lesson', { id: LESSON.id });
    const headers = { ...bearing(key), origin: 'http://evil.example' };
    const answer = await post(`${small.url}/api/v1/seat/answer`, RIGHT, headers);
    expect(problemIn(answer).type).toBe('/problems/foreign-origin');
  });
});

describe('the class', () => {
  test('is the instructor’s alone: a viewer neither looks nor changes, nobody else gets that far', async () => {
    const small = await withClass();
    await small.join('Ann');
    const routes = (await routesOf(small.url)).filter(isClass);
    expect(routes.length).toBeGreaterThan(8);
    for (const { method, path } of routes) {
      const viewer = await ask(small.url + path, { method, headers: bearing(VIEWER) });
      expect([method, path, viewer.status]).toEqual([method, path, 403]);
      expect((await ask(small.url + path, { method })).status).toBe(401);
    }
    const { class: view } = JSON.parse((await small.teach('GET', '/api/v1/class')).text) as {
      readonly class: { readonly seats: readonly unknown[]; readonly lesson: unknown };
    };
    expect([view.seats.length, view.lesson]).toEqual([1, null]);
  });

  test('lets a viewer go on looking at the bench, and its stream', async () => {
    const small = await withClass();
    expect((await ask(`${small.url}/api/v1/now`, { headers: bearing(VIEWER) })).status).toBe(200);
    await openStream(small.url, `token=${VIEWER}`);
  });
});

describe('codes', () => {
  const tries = async (
    small: SmallClass,
    count: number,
    remoteAddress: string,
    code: string,
  ): Promise<number[]> => {
    const statuses: number[] = [];
    for (let index = 0; index < count; index += 1) {
      const payload = { code, name: `${remoteAddress} ${index}` };
      const method = 'POST';
      statuses.push(
        (await small.app.inject({ method, url: '/api/v1/seat', payload, remoteAddress })).statusCode,
      );
    }
    return statuses;
  };
  const codeOf = async (small: SmallClass): Promise<string> =>
    (JSON.parse((await small.teach('GET', '/api/v1/class')).text) as { class: { code: string } }).class.code;

  test('are tried a few times a minute; then even the right one has to wait', async () => {
    const small = await withClass();
    const code = await codeOf(small);
    expect(await tries(small, 11, '10.0.0.5', 'AAAAAA')).toEqual([...Array<number>(10).fill(404), 429]);
    const answer = await small.app.inject({
      method: 'POST',
      url: '/api/v1/seat',
      payload: { code, name: 'Ann' },
      remoteAddress: '10.0.0.5',
    });
    expect(answer.statusCode).toBe(429);
    expect(Number(answer.headers['retry-after'])).toBeGreaterThan(0);
    expect(await tries(small, 1, '10.0.0.6', code)).toEqual([200]);
  });

  test('are tried no oftener by a client of many addresses', async () => {
    const small = await withClass();
    const statuses: number[] = [];
    for (let host = 1; host <= 13; host += 1)
      statuses.push(...(await tries(small, 10, `10.0.1.${host}`, 'AAAAAA')));
    expect(statuses.filter((status) => status === 404)).toHaveLength(120);
    expect(statuses.slice(120)).toEqual(Array<number>(10).fill(429));
  });

  test('let a class of thirty in at once behind one address, each with a slip of the thumb', async () => {
    const small = await withClass();
    const code = await codeOf(small);
    expect(await tries(small, 30, '127.0.0.1', 'AAAAAA')).toEqual(Array<number>(30).fill(404));
    expect(await tries(small, 30, '127.0.0.1', code)).toEqual(Array<number>(30).fill(200));
  });
});

test('each seat has its own number of requests, wherever it sits', async () => {
  const small = await smallClass({ limits: { seatRequestsPerMinute: 3, requestsPerMinute: 2 } });
  await small.teach('POST', '/api/v1/class', {});
  const phones = [await small.join('Ann'), await small.join('Bob')];
  const looks = async (headers: Record<string, string>): Promise<number> =>
    (await small.app.inject({ url: '/api/v1/seat', headers, remoteAddress: '10.0.0.5' })).statusCode;
  for (const { key } of phones) {
    const statuses = [];
    for (let index = 0; index < 4; index += 1) statuses.push(await looks(bearing(key)));
    expect(statuses).toEqual([200, 200, 200, 429]);
  }
  // Guessed keys count against the client: each a new one does not make a new count.
  expect([await looks(bearing('a')), await looks(bearing('b')), await looks(bearing('c'))]).toEqual([
    401, 401, 429,
  ]);
});

describe('a crafted body', () => {
  const CRAFTED: readonly unknown[] = [
    'null',
    [],
    '7',
    '"x"',
    '{"__proto__":{"code":"x"}}',
    '{"constructor":{"prototype":{}}}',
    { code: 7, name: {} },
    { code: 'x'.repeat(10_000), name: 'x' },
    { code: 'ACDEFH', name: 'x'.repeat(50_000) },
    { id: null },
    { id: '../../etc/passwd' },
    { to: {} },
    { to: '__proto__' },
    { ...RIGHT, causes: [] },
    { ...RIGHT, causes: Array(1000).fill('leak') },
    { ...RIGHT, where: Array(1000).fill('fan') },
    { ...RIGHT, where: ['x'.repeat(5000)] },
    { ...RIGHT, where: ['__proto__'] },
    { ...RIGHT, next: 'toString' },
    { ...RIGHT, restart: null },
    { ...RIGHT, score: 4 },
    { sensor: 'coil-a', on: 'off' },
    { sensor: '', on: false },
    '{"causes":'.repeat(2000),
  ];

  const POSTED = ['seat', 'seat/answer', 'seat/power', 'class/lesson', 'class/hand'];

  async function running(): Promise<{
    small: SmallClass;
    headers: (path: string) => Record<string, string>;
  }> {
    const small = await smallClass({
      limits: { loopbackWrongCodesPerMinute: 1e6, allWrongCodesPerMinute: 1e6 },
    });
    await small.teach('POST', '/api/v1/class', {});
    const { key } = await small.join('Ann');
    await small.teach('POST', '/api/v1/class/lesson', { id: LESSON.id });
    await small.teach('POST', '/api/v1/class/hand', { to: 'everybody' });
    return { small, headers: (path) => bearing(path.startsWith('seat') ? key : TEACHER) };
  }

  test('is a problem of the client on every route, and changes nothing', async () => {
    const { small, headers } = await running();
    for (const path of POSTED) {
      for (const body of CRAFTED) {
        const problem = problemIn(await post(`${small.url}/api/v1/${path}`, body, headers(path)));
        expect(problem.status).toBeGreaterThanOrEqual(400);
        expect(problem.status).toBeLessThan(500);
        expect(problem.detail).toMatch(/^[A-Z].*\.$/su);
      }
    }
    expect(small.flipped).toEqual([]);
    expect(small.played).toHaveLength(1);
  });

  test('whatever it is, is never a fault of the bench', async () => {
    const { small, headers } = await running();
    const bodies = fc.oneof(
      fc.json(),
      fc.record({ code: fc.string(), name: fc.string() }).map((one) => JSON.stringify(one)),
    );
    const posted = fc.tuple(fc.constantFrom(...POSTED), bodies);
    await fc.assert(
      fc.asyncProperty(posted, async ([path, body]) => {
        const answer = await post(`${small.url}/api/v1/${path}`, body, headers(path));
        expect(problemIn(answer).status).toBeLessThan(500);
      }),
      { numRuns: 150 },
    );
  });
});
