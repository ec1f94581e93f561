import { once } from 'node:events';
import { createServer } from 'node:net';
import type { FastifyInstance } from 'fastify';
import { describe, expect, onTestFinished, test } from 'vitest';
import { ListenError, listenApi, type Tokens, tokensFrom } from '../../../src/api/index.ts';
import { ask } from './ask.ts';
import { openApi, unopenedApi } from './open-api.ts';

const NONE: Tokens = [];

function someTokens(): Tokens {
  const outcome = tokensFrom(['teach-12345']);
  return outcome.ok ? outcome.tokens : NONE;
}

async function trouble(host: string, port: number, tokens: Tokens): Promise<ListenError> {
  const { app } = await unopenedApi();
  const error: unknown = await listenApi(app, { host, port, tokens }).then(
    () => undefined,
    (reason: unknown) => reason,
  );
  if (error instanceof ListenError) return error;
  throw new Error(`no trouble of ours: ${String(error)}`);
}

async function takenPort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  onTestFinished(() => {
    server.close();
  });
  await once(server, 'listening');
  const address = server.address();
  return typeof address === 'object' && address !== null ? address.port : 0;
}

describe('the HTTP side', () => {
  test('says where it listens, and answers there', async () => {
    const { url } = await openApi();
    expect(url).toMatch(/^http:\/\/127\.0\.0\.1:\d+$/u);
    expect((await ask(`${url}/healthz`)).status).toBe(200);
  });

  test.each(['0.0.0.0', '::', '192.0.2.1', 'bench.example'])(
    'does not start on %s without a token: others could reach it',
    async (host) => {
      const error = await trouble(host, 0, NONE);
      expect(error.kind).toBe('tokenNeeded');
      expect(error.message).toContain('--token');
    },
  );

  test('starts there with one', async () => {
    const { app } = await unopenedApi(['teach-12345']);
    const url = await listenApi(app, { host: '0.0.0.0', port: 0, tokens: someTokens() });
    const { port } = new URL(url);
    expect((await ask(`http://127.0.0.1:${port}/api/v1/now`)).status).toBe(401);
  });

  test('takes an IPv6 address with brackets too', async () => {
    const { app } = await unopenedApi();
    const url = await listenApi(app, { host: '[::1]', port: 0, tokens: NONE });
    expect((await ask(`${url}/healthz`)).status).toBe(200);
  });

  test('says so where its port is in use', async () => {
    const port = await takenPort();
    const error = await trouble('127.0.0.1', port, NONE);
    expect(error.kind).toBe('portInUse');
    expect(error.message).toMatch(new RegExp(`^Port ${port} of 127\\.0\\.0\\.1 is in use: .*--port`, 'u'));
  });

  test.each(['192.0.2.1', 'no-such-host.invalid'])(
    'says so where this machine has no address %s (RFC 5737, RFC 6761)',
    async (host) => {
      const error = await trouble(host, 0, someTokens());
      expect(error.kind).toBe('noSuchAddress');
      expect(error.message).toContain('--host');
    },
  );

  test('says so where a port is the system’s own', async () => {
    // Whoever runs this test may be allowed all ports, so that the refusal is the system's in word only.
    const refusing = { listen: () => Promise.reject(Object.assign(new Error('listen'), { code: 'EACCES' })) };
    const app = refusing as unknown as FastifyInstance;
    await expect(listenApi(app, { host: '127.0.0.1', port: 80, tokens: NONE })).rejects.toMatchObject({
      kind: 'notAllowed',
      message: expect.stringContaining('--port') as string,
    });
  });

  test.each([
    [Object.assign(new RangeError('no such port'), { code: 'ERR_SOCKET_BAD_PORT' }), 'no such port'],
    [new Error('a word'), 'a word'],
  ])('passes on what else the system says', async (thrown, said) => {
    const app = {
      listen: () => Promise.reject(thrown),
    } as unknown as FastifyInstance;
    await expect(listenApi(app, { host: '127.0.0.1', port: 1, tokens: NONE })).rejects.toMatchObject({
      kind: 'failed',
      message: expect.stringContaining(said) as string,
    });
  });
});
