/** Requests of anybody, straight into the API: none is a fault of the bench, or does what its sender may not. */
import fc from 'fast-check';
import type { InjectOptions } from 'fastify';
import { expect } from 'vitest';
import { type Description, type FuzzRequest, fuzzRequests, type Who } from './requests.ts';
import { MAY, type Subject } from './subject.ts';

export const OUTSIDERS: readonly Who[] = ['nobody', 'stranger', 'viewer'];
const FAULT = 500;
const SAFE = ['GET', 'HEAD', 'OPTIONS', 'TRACE'];

export async function fuzzHttp(subject: Subject, who: readonly Who[], requests: number): Promise<void> {
  const description = subject.app.swagger() as Description;
  subject.taken();
  await fc.assert(
    fc.asyncProperty(fuzzRequests(description, who), async (request) => {
      // What injects a request reads its address first; what it cannot read is sent as bytes (raw.ts).
      fc.pre(URL.canParse(request.path, 'http://localhost'));
      const { statusCode, headers, body } = await sent(subject, request);
      expectNoFault(statusCode, body, request.path);
      expect(headers).toHaveProperty('x-content-type-options');
      const may = SAFE.includes(request.method) ? [] : MAY[request.who];
      for (const change of subject.taken()) expect(may).toContain(change);
    }),
    { numRuns: requests, endOnFailure: true },
  );
  expect(subject.faults).toEqual([]);
}

/** Asked whether it is ready, a bench may say no, with 503; every other 5xx would be a fault. */
export function expectNoFault(status: number, body: string, asked: string): void {
  if (status === 503 && asked.includes('readyz')) return;
  if (status >= FAULT) expect.fail(`${status} to ${asked}: ${body}`);
}

async function sent({ app, bearer }: Subject, { who, method, path, headers, body }: FuzzRequest) {
  const token = await bearer(who);
  const asked: InjectOptions = {
    // Also one that no standard knows.
    method: method as NonNullable<InjectOptions['method']>,
    url: path,
    headers: {
      host: 'localhost',
      ...(token === null ? {} : { authorization: `Bearer ${token}` }),
      ...headers,
    },
    ...(body === null ? {} : { payload: body }),
  };
  return await app.inject(asked);
}
