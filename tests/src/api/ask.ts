/** Requests as a browser would not send them, and answers as problem details. */
import { request } from 'node:http';
import { expect } from 'vitest';
import { type ProblemDetails, problemSchema } from '../../../src/api/problems.ts';

export interface Answer {
  readonly status: number;
  readonly headers: Readonly<Record<string, unknown>>;
  readonly text: string;
}

export interface Ask {
  readonly method?: string;
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: unknown;
}

/** Any header may be set, Host too; a body goes as JSON unless the headers say otherwise. */
export function ask(url: string, { method = 'GET', headers = {}, body }: Ask = {}): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const json = body === undefined ? {} : { 'content-type': 'application/json' };
    const sent = request(url, { method, agent: false, headers: { ...json, ...headers } }, (answer) => {
      let text = '';
      answer.on('data', (chunk: Buffer) => (text += chunk.toString()));
      answer.on('end', () => {
        resolve({ status: answer.statusCode ?? 0, headers: answer.headers, text });
      });
    });
    sent.on('error', reject);
    sent.end(typeof body === 'string' ? body : JSON.stringify(body));
  });
}

export function post(
  url: string,
  body: unknown,
  headers: Readonly<Record<string, string>> = {},
): Promise<Answer> {
  return ask(url, { method: 'POST', body, headers });
}

/** The problem of an answer that must be one: RFC 9457, status twice the same. */
export function problemIn({ status, headers, text }: Answer): ProblemDetails {
  expect(headers['content-type']).toMatch(/^application\/problem\+json\b/u);
  const problem = problemSchema.parse(JSON.parse(text));
  expect(problem.status).toBe(status);
  return problem;
}
