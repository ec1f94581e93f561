/** Clauses without a name are those of RFC 9457. */
import { once } from 'node:events';
import { connect, Socket } from 'node:net';
import { describe, expect, test } from 'vitest';
import { PROBLEMS } from '../../../src/api/problems.ts';
import { answerGarbled, BODY_BYTES_MAX, problemOf } from '../../../src/api/trouble.ts';
import { RecordError } from '../../../src/record/index.ts';
import { ask, post, problemIn } from './ask.ts';
import { openApi } from './open-api.ts';

/** Sends bytes as they are, and gives all that comes back. */
async function raw(url: string, bytes: string): Promise<string> {
  const socket = connect(Number(new URL(url).port), '127.0.0.1');
  socket.end(bytes);
  let heard = '';
  socket.on('data', (chunk: Buffer) => (heard += chunk.toString()));
  await once(socket, 'close');
  return heard;
}

describe('trouble', () => {
  test.each([
    ['no such path', '/api/v1/nothing', 'GET', undefined, 404],
    ['no such method', '/api/v1/now', 'DELETE', undefined, 404],
    ['an address that cannot be read', '/%zz', 'GET', undefined, 400],
    ['a body that is not JSON', '/api/v1/steps', 'POST', '{"fire":', 400],
    ['no body', '/api/v1/steps', 'POST', '', 400],
    ['a body that is too large', '/api/v1/steps', 'POST', 'x'.repeat(BODY_BYTES_MAX + 1), 413],
  ])('is a problem document for %s', async (_, path, method, body, status) => {
    const { url } = await openApi();
    const problem = problemIn(await ask(url + path, { method, ...(body === undefined ? {} : { body }) }));
    expect(problem.status).toBe(status);
    expect(problem.detail).toMatch(/^[A-Z].*\.$/u);
  });

  test.each([
    'text/plain',
    'application/x-www-form-urlencoded',
    'multipart/form-data; boundary=x',
    'image/png',
  ])('is a body of type %s, even one that any page may send', async (type) => {
    const { url, bench } = await openApi();
    const answer = await post(`${url}/api/v1/steps`, '{"fire":"on"}', { 'content-type': type });
    expect(problemIn(answer)).toMatchObject({ type: '/problems/not-json', status: 415 });
    expect(bench.asked).toEqual([]);
  });

  test('has a type that says more when it is followed (section 3.1.1)', async () => {
    const { url } = await openApi();
    const { type, title, status } = problemIn(await ask(`${url}/nothing`));
    const { text } = await ask(new URL(type, url).href);
    expect(JSON.parse(text)).toMatchObject({ title, status, meaning: PROBLEMS['not-found'].meaning });
    expect(problemIn(await ask(`${url}/problems/unheard-of`)).status).toBe(404);
    expect(problemIn(await ask(`${url}/problems/toString`)).status).toBe(404);
  });

  test('is one status a title, and an HTTP error for every problem of the catalogue', () => {
    const rows = Object.values(PROBLEMS);
    expect(new Set(rows.map(({ title }) => title)).size).toBe(rows.length);
    for (const { status } of rows)
      expect([400, 401, 403, 404, 409, 413, 415, 421, 422, 426, 429, 500, 503]).toContain(status);
  });

  test('in the record is told in its own sentence', async () => {
    const { url, log } = await openApi({
      seen: (record) => ({
        ...record,
        readAfter: () => {
          throw new RecordError('damaged', 'The record is damaged: keep it.');
        },
      }),
    });
    const problem = problemIn(await ask(`${url}/api/v1/events`));
    expect(problem).toMatchObject({ type: '/problems/record-failed', status: 503 });
    expect(problem.detail).toBe('The record is damaged: keep it.');
    expect(log.some((line) => line.includes('request failed'))).toBe(true);
  });

  test('is told in words that are true of all its uses: in storing too, and in the class', async () => {
    const { url, bench } = await openApi();
    bench.setClock = () => {
      throw new RecordError('notStored', 'The record takes no more: see to its disk.');
    };
    const problem = problemIn(await post(`${url}/api/v1/clock`, { paused: true }));
    expect(problem).toMatchObject({ status: 503, detail: 'The record takes no more: see to its disk.' });
    expect(problem.title).toBe('The record failed');
    expect(PROBLEMS['record-failed'].meaning).toMatch(/read, or took no more/u);
    expect(PROBLEMS['not-allowed'].meaning).toMatch(/see the class/u);
  });

  test('of the bench itself tells nothing of its insides, but for the log', async () => {
    const { url, bench, log } = await openApi();
    bench.rigView = () => {
      throw new Error('wires crossed');
    };
    const answer = await ask(`${url}/api/v1/rig`);
    expect(problemIn(answer).status).toBe(500);
    expect(answer.text).not.toMatch(/wires|\.ts|node_modules/u);
    expect(log.join('')).toContain('wires crossed');
  });

  test.each([
    [Object.assign(new Error(), { statusCode: 406 }), 'bad-request'],
    [Object.assign(new Error(), { statusCode: 302 }), 'internal'],
    [Object.assign(new Error(), { statusCode: 'odd' }), 'internal'],
    ['a string', 'internal'],
    [null, 'internal'],
  ])('of another kind is a problem all the same', (error, problem) => {
    expect(problemOf(error).problem).toBe(problem);
  });
});

describe('what is no request of HTTP', () => {
  test('is answered with a problem document, and the connection ends', async () => {
    const { url } = await openApi();
    const answer = await raw(url, 'what is this\r\n\r\n');
    const [head = '', body = ''] = answer.split('\r\n\r\n');
    expect(head).toMatch(/^HTTP\/1\.1 400 Bad Request\r\n/u);
    expect(head).toContain('Content-Type: application/problem+json');
    expect(head).toContain(`Content-Length: ${Buffer.byteLength(body)}`);
    expect(JSON.parse(body)).toMatchObject({ status: 400 });
  });

  test('ends the connection that asks for a WebSocket at an address that cannot be read', async () => {
    const { url } = await openApi();
    // What is open after its answer would stay open: no limit of time holds for a connection that was upgraded.
    const asked = 'GET /% HTTP/1.1\r\nHost: localhost\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\r\n';
    const answer = await raw(url, asked);
    expect(answer).toMatch(/^HTTP\/1\.1 400 /u);
    expect(answer).toContain('"type":"/problems/bad-request"');
  });

  test('is dropped where nobody is there to answer', () => {
    const socket = new Socket();
    socket.destroy();
    answerGarbled(new Error('reset'), socket);
    expect(socket.destroyed).toBe(true);
  });

  test('is not served without a Host either (RFC 9112 section 3.2)', async () => {
    const { url } = await openApi();
    expect(await raw(url, 'GET /healthz HTTP/1.1\r\n\r\n')).toMatch(/^HTTP\/1\.1 400 /u);
    expect(await raw(url, 'GET /healthz HTTP/1.0\r\n\r\n')).toMatch(/^HTTP\/1\.1 421 /u);
  });
});
