/** Who is let in. RFC 6750 is the use of bearer tokens, RFC 6454 the Origin, RFC 9110 HTTP. */
import { describe, expect, test } from 'vitest';
import { ask, post, problemIn } from './ask.ts';
import { openApi } from './open-api.ts';
import { openStream, refusedStream } from './stream-client.ts';

const TEACHER = 'teach-12345';
const VIEWER = 'watch-12345';
const TOKENS = [TEACHER, `viewer:${VIEWER}`];
const FIRE = { fire: 'on' };

function bearing(token: string): Record<string, string> {
  return { authorization: `Bearer ${token}` };
}

describe('without tokens the bench', () => {
  test('lets whoever is on this machine look and change', async () => {
    const { url } = await openApi();
    expect((await ask(`${url}/api/v1/now`)).status).toBe(200);
    expect((await post(`${url}/api/v1/steps`, FIRE)).status).toBe(200);
    await openStream(url);
  });

  test.each(['/', '/api/v1/now', '/metrics', '/docs', '/healthz', '/nothing'])(
    'answers %s under a name of this machine only, so that no name server can point a page at it',
    async (path) => {
      const { url } = await openApi();
      const problem = problemIn(await ask(url + path, { headers: { host: 'bench.evil.example' } }));
      expect(problem).toMatchObject({ type: '/problems/foreign-host', status: 421 });
    },
  );

  test('opens no stream under a foreign name', async () => {
    const { url } = await openApi();
    expect(problemIn(await refusedStream(url, '', { headers: { host: 'bench.evil.example' } })).status).toBe(
      421,
    );
  });
});

describe('a page of another site', () => {
  test.each(['http://evil.example', 'null', 'http://127.0.0.1:1'])(
    'from %s changes nothing',
    async (origin) => {
      const { url, bench } = await openApi();
      for (const route of ['steps', 'clock']) {
        const problem = problemIn(await post(`${url}/api/v1/${route}`, FIRE, { origin }));
        expect(problem).toMatchObject({ type: '/problems/foreign-origin', status: 403 });
      }
      expect(bench.asked).toEqual([]);
    },
  );

  test('opens no stream, even with a token', async () => {
    const { url } = await openApi({ tokens: TOKENS });
    const answer = await refusedStream(url, `token=${TEACHER}`, { origin: 'http://evil.example' });
    expect(problemIn(answer)).toMatchObject({ type: '/problems/foreign-origin', status: 403 });
  });

  test('may be linked from, and reads nothing: no answer gives it leave (Fetch, CORS)', async () => {
    const { url } = await openApi();
    const answer = await ask(`${url}/api/v1/now`, { headers: { origin: 'http://evil.example' } });
    expect(answer.status).toBe(200);
    expect(answer.headers).not.toHaveProperty('access-control-allow-origin');
    expect(answer.headers).toMatchObject({ 'cross-origin-resource-policy': 'same-origin' });
  });

  test('is told from the bench’s own page, and from a program, which has no Origin', async () => {
    const { url } = await openApi();
    expect((await post(`${url}/api/v1/steps`, FIRE, { origin: url })).status).toBe(200);
    await openStream(url, '', { origin: url });
    await openStream(url);
  });
});

describe('with tokens the bench', () => {
  test.each(['/api/v1/rig', '/api/v1/now', '/api/v1/events', '/metrics'])(
    'gives %s to roles only',
    async (path) => {
      const { url } = await openApi({ tokens: TOKENS });
      const nobody = await ask(url + path);
      expect(problemIn(nobody)).toMatchObject({ type: '/problems/token-needed', status: 401 });
      expect(nobody.headers['www-authenticate']).toBe('Bearer realm="leakbench"');
      for (const token of [TEACHER, VIEWER]) {
        expect((await ask(url + path, { headers: bearing(token) })).status).toBe(200);
      }
    },
  );

  test.each([
    bearing('wrong-12345'),
    bearing(''),
    { authorization: `Basic ${TEACHER}` },
    { authorization: TEACHER },
  ])('refuses %j', async (headers) => {
    const { url, bench } = await openApi({ tokens: TOKENS });
    expect(problemIn(await post(`${url}/api/v1/steps`, FIRE, headers)).status).toBe(401);
    expect(bench.asked).toEqual([]);
  });

  test('says so where a token is none of its own (RFC 6750 section 3.1)', async () => {
    const { url } = await openApi({ tokens: TOKENS });
    const { headers } = await ask(`${url}/api/v1/now`, { headers: bearing('wrong-12345') });
    expect(headers['www-authenticate']).toContain('error="invalid_token"');
  });

  test('lets an instructor change it, however the scheme is written (RFC 9110 section 11.1)', async () => {
    const { url, bench } = await openApi({ tokens: TOKENS });
    expect((await post(`${url}/api/v1/steps`, FIRE, { authorization: `bearer ${TEACHER}` })).status).toBe(
      200,
    );
    expect(bench.asked).toEqual([FIRE]);
  });

  test('lets a viewer look but not change', async () => {
    const { url, bench } = await openApi({ tokens: TOKENS });
    for (const route of ['steps', 'clock']) {
      const answer = await post(`${url}/api/v1/${route}`, {}, bearing(VIEWER));
      expect(problemIn(answer)).toMatchObject({ type: '/problems/not-allowed', status: 403 });
      expect(answer.headers['www-authenticate']).toContain('error="insufficient_scope"');
    }
    expect(bench.asked).toEqual([]);
  });

  test('opens its stream for a token in the header or, for browsers, in the address', async () => {
    const { url } = await openApi({ tokens: TOKENS });
    await openStream(url, '', { headers: bearing(VIEWER) });
    await openStream(url, `after=0&token=${VIEWER}`);
    await openStream(url, `token=${TEACHER}`);
    for (const query of ['', 'token=wrong-12345', `token=${VIEWER}&token=${VIEWER}`]) {
      expect(problemIn(await refusedStream(url, query)).status).toBe(401);
    }
  });

  test('takes a token from the address for nothing but the stream', async () => {
    const { url, bench } = await openApi({ tokens: TOKENS });
    expect((await ask(`${url}/api/v1/now?token=${TEACHER}`)).status).toBe(401);
    expect((await post(`${url}/api/v1/steps?token=${TEACHER}`, FIRE)).status).toBe(401);
    expect(bench.asked).toEqual([]);
  });

  test.each(['/healthz', '/readyz', '/openapi.json', '/docs', '/problems/not-found'])(
    'gives %s to everybody: there is nothing in it',
    async (path) => {
      const { url } = await openApi({ tokens: TOKENS });
      expect((await ask(url + path, { headers: { host: 'bench.example' } })).status).toBe(200);
    },
  );
});

describe('a client that asks too often', () => {
  test('is told how long to wait, on this machine only far later than elsewhere', async () => {
    const { url, app } = await openApi({
      tokens: TOKENS,
      limits: { requestsPerMinute: 2, loopbackRequestsPerMinute: 4 },
    });
    const near = async (): Promise<number> => (await ask(`${url}/healthz`)).status;
    expect([await near(), await near(), await near(), await near()]).toEqual([200, 200, 200, 200]);
    const refused = await ask(`${url}/healthz`);
    expect(problemIn(refused)).toMatchObject({ type: '/problems/too-many-requests', status: 429 });
    expect(Number(refused.headers['retry-after'])).toBeGreaterThan(0);
    const far = async (): Promise<number> =>
      (await app.inject({ path: '/healthz', remoteAddress: '10.0.0.5' })).statusCode;
    expect([await far(), await far(), await far()]).toEqual([200, 200, 429]);
  });
});

test.each(['/api/v1/now', '/api/v1/class', '/metrics'])(
  'whoever guesses at the token of %s is told to wait like any other',
  async (path) => {
    const { app } = await openApi({ tokens: TOKENS, limits: { requestsPerMinute: 2 } });
    const statuses: number[] = [];
    for (const guess of ['guess-0001', 'guess-0002', 'guess-0003']) {
      const asked = { path, headers: bearing(guess), remoteAddress: '10.0.0.5' };
      statuses.push((await app.inject(asked)).statusCode);
    }
    expect(statuses).toEqual([401, 401, 429]);
  },
);

describe('the log', () => {
  test('has a line a request with its id, and never a token', async () => {
    const { url, log } = await openApi({ tokens: TOKENS });
    await ask(`${url}/api/v1/now?token=${TEACHER}`, { headers: bearing(TEACHER) });
    await ask(`${url}/api/v1/now?token=wrong-12345`, { headers: bearing('wrong-12345') });
    await openStream(url, `token=${VIEWER}`);
    await refusedStream(url, 'token=wrong-12345');
    await refusedStream(url, `token=${VIEWER}&after=x`);
    await ask(`${url}/%zz?token=${TEACHER}`);
    const text = log.join('');
    expect(text).toMatch(
      /"reqId":"req-1","method":"GET","path":"\/api\/v1\/now","from":"127.0.0.1","status":200/u,
    );
    for (const secret of [TEACHER, VIEWER, 'wrong-12345']) expect(text).not.toContain(secret);
  });

  test('finds a request by its id: the one that came with it where it is one, else ours', async () => {
    const { url, log } = await openApi();
    const asked = async (id: string): Promise<unknown> =>
      (await ask(`${url}/healthz`, { headers: { 'x-request-id': id } })).headers['x-request-id'];
    expect(await asked('proxy-7.1:a')).toBe('proxy-7.1:a');
    expect(log.at(-1)).toContain('"reqId":"proxy-7.1:a"');
    for (const odd of ['', 'a b', '{"x":1}', 'x'.repeat(65)]) expect(await asked(odd)).toMatch(/^req-\w+$/u);
    const problem = await ask(`${url}/nothing`, { headers: { 'x-request-id': 'mine' } });
    expect(problemIn(problem).requestId).toBe('mine');
    expect(problem.headers['x-request-id']).toBe('mine');
  });

  test('shows of a request what it may, wherever a plugin logs one', async () => {
    const { app, url, log } = await openApi({ tokens: TOKENS });
    app.log.info(
      { req: { method: 'GET', url: `/x?token=${TEACHER}`, ip: '::1', headers: bearing(TEACHER) } },
      'odd',
    );
    await ask(`${url}/healthz`);
    expect(log.find((line) => line.includes('odd'))).toContain(
      '"req":{"method":"GET","path":"/x","from":"::1"}',
    );
    expect(log.join('')).not.toContain(TEACHER);
  });
});
