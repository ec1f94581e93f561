import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, onTestFinished, test } from 'vitest';
import { ask, problemIn } from './ask.ts';
import { openApi } from './open-api.ts';

/** A folder with a page of three files, and a secret beside it. */
function pageFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'leakbench-page-'));
  onTestFinished(() => {
    rmSync(folder, { recursive: true });
  });
  const page = join(folder, 'page');
  mkdirSync(join(page, 'assets'), { recursive: true });
  writeFileSync(join(page, 'index.html'), '<!doctype html><title>the bench</title>');
  writeFileSync(join(page, 'assets/main.js'), 'export {};');
  writeFileSync(join(folder, 'secret.txt'), 'secret');
  return page;
}

describe('health', () => {
  test('is alive as soon as it answers, and ready once nothing is in the way', async () => {
    const { url, bench } = await openApi();
    bench.why = 'Line main is not connected.';
    expect(JSON.parse((await ask(`${url}/healthz`)).text)).toEqual({ alive: true });
    const problem = problemIn(await ask(`${url}/readyz`));
    expect(problem).toMatchObject({
      type: '/problems/not-ready',
      detail: 'Line main is not connected.',
      status: 503,
    });
    bench.why = null;
    expect(JSON.parse((await ask(`${url}/readyz`)).text)).toEqual({ ready: true });
  });
});

describe('the page', () => {
  test('is at the root, with its files, whatever token its address carries', async () => {
    const { url } = await openApi({ pageFolder: pageFolder(), tokens: ['teach-12345'] });
    for (const path of ['/', '/?token=teach-12345', '/index.html']) {
      const { status, text, headers } = await ask(url + path);
      expect([status, text]).toEqual([200, '<!doctype html><title>the bench</title>']);
      expect(headers['content-type']).toMatch(/^text\/html/u);
    }
    expect((await ask(`${url}/assets/main.js`)).headers['content-type']).toMatch(/javascript/u);
  });

  test.each([
    '/assets/none.js',
    '/secret.txt',
    '/../secret.txt',
    '/..%2fsecret.txt',
    '/%2e%2e/secret.txt',
    '/assets/',
  ])('has nothing at %s', async (path) => {
    const { url } = await openApi({ pageFolder: pageFolder() });
    const answer = await ask(url + path);
    expect(problemIn(answer).status).toBeGreaterThanOrEqual(400);
    expect(answer.text).not.toContain('secret"');
  });

  test('may load from the bench alone, be framed by nobody, and send no address elsewhere', async () => {
    const { url } = await openApi({ pageFolder: pageFolder() });
    const { headers } = await ask(url);
    const policy = String(headers['content-security-policy']);
    expect(policy.split(';')).toEqual(
      expect.arrayContaining(["default-src 'self'", "frame-ancestors 'none'", "object-src 'none'"]),
    );
    expect(policy).not.toMatch(/unsafe|https:|upgrade-insecure/u);
    expect(headers).toMatchObject({ 'referrer-policy': 'no-referrer', 'x-content-type-options': 'nosniff' });
    expect(headers).not.toHaveProperty('strict-transport-security');
  });

  test('that is not built says how to build it', async () => {
    const { url } = await openApi();
    const problem = problemIn(await ask(url));
    expect(problem.type).toBe('/problems/page-not-built');
    expect(problem.detail).toContain('npm run build');
  });
});

describe('the API’s description', () => {
  interface Operation {
    readonly operationId?: string;
    readonly responses: Readonly<Record<string, { readonly content?: Readonly<Record<string, unknown>> }>>;
  }
  interface Description {
    readonly openapi: string;
    readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  }

  test('is OpenAPI 3.1 and names every route of the API, with its problems', async () => {
    const { url } = await openApi();
    const description = JSON.parse((await ask(`${url}/openapi.json`)).text) as Description;
    expect(description.openapi).toBe('3.1.0');
    const operations = Object.entries(description.paths).flatMap(([path, methods]) =>
      Object.entries(methods).map(([method, operation]) => ({ name: `${method} ${path}`, operation })),
    );
    expect(operations.map(({ name }) => name).sort()).toEqual([
      'delete /api/v1/class',
      'delete /api/v1/class/lesson',
      'delete /api/v1/class/seats/{id}',
      'delete /api/v1/drill',
      'get /api/v1/class',
      'get /api/v1/class/scores.csv',
      'get /api/v1/drill',
      'get /api/v1/drills',
      'get /api/v1/events',
      'get /api/v1/now',
      'get /api/v1/poll-report',
      'get /api/v1/recording',
      'get /api/v1/rig',
      'get /api/v1/seat',
      'get /api/v1/stream',
      'get /asyncapi.json',
      'get /healthz',
      'get /metrics',
      'get /openapi.json',
      'get /problems/{id}',
      'get /readyz',
      'post /api/v1/class',
      'post /api/v1/class/hand',
      'post /api/v1/class/lesson',
      'post /api/v1/class/reveal',
      'post /api/v1/clock',
      'post /api/v1/drill',
      'post /api/v1/poll-report/anew',
      'post /api/v1/restart',
      'post /api/v1/seat',
      'post /api/v1/seat/answer',
      'post /api/v1/seat/power',
      'post /api/v1/steps',
    ]);
    for (const { operation } of operations) {
      expect(operation.operationId).toMatch(/^[a-z]+[A-Za-z]+$/u);
      expect(operation.responses['400']?.content).toHaveProperty('application/problem+json');
    }
  });

  test('can be read and tried without any network: every file of it comes from the bench', async () => {
    const { url } = await openApi();
    const { text, headers } = await ask(`${url}/docs/`);
    const files = [...text.matchAll(/(?:src|href)="([^"]+)"/gu)].map(([, file = '']) => file);
    expect(files.length).toBeGreaterThan(4);
    for (const file of files) {
      const address = new URL(file, `${url}/docs/`);
      expect(address.origin).toBe(url);
      expect((await ask(address.href)).status).toBe(200);
    }
    expect(headers['content-security-policy']).toMatch(/^default-src 'self';/u);
    expect(headers['content-security-policy']).not.toMatch(/https?:/u);
    expect((await ask(`${url}/docs/json`)).text).toBe((await ask(`${url}/openapi.json`)).text);
  });
});
