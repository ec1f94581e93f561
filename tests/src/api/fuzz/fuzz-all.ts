/** All fuzzers, one after the other, on one bench. */
import { expect } from 'vitest';
import { ask } from '../ask.ts';
import { fuzzHttp, OUTSIDERS } from './http-fuzz.ts';
import { fuzzRaw, fuzzSockets } from './raw.ts';
import { WHO } from './requests.ts';
import { fuzzSubject, type Subject } from './subject.ts';

export interface FuzzCounts {
  readonly outsiders: number;
  readonly anybody: number;
  readonly rawOutsiders: number;
  readonly rawAnybody: number;
  readonly messages: number;
}

export async function fuzzAll(counts: FuzzCounts): Promise<void> {
  const subject = await fuzzSubject();
  try {
    await subject.still();
    const before = await subject.picture();
    await fuzzHttp(subject, OUTSIDERS, counts.outsiders);
    await fuzzRaw(subject, OUTSIDERS, counts.rawOutsiders);
    expect(await subject.picture(), 'the bench, after requests without a role for a change').toBe(before);
    await fuzzHttp(subject, WHO, counts.anybody);
    await fuzzRaw(subject, WHO, counts.rawAnybody);
    subject.taken();
    const sent = await fuzzSockets(subject, counts.messages);
    expect(sent).toBeGreaterThan(counts.messages / 2);
    await expectWhole(subject);
  } finally {
    await subject.close();
  }
}

/** After all of it the bench answers, and no stream of the fuzzers is left open. */
async function expectWhole({ url, bearer }: Subject): Promise<void> {
  expect((await ask(`${url}/healthz`)).status).toBe(200);
  const headers = { authorization: `Bearer ${(await bearer('instructor')) ?? ''}` };
  expect((await ask(`${url}/metrics`, { headers })).text).toContain('leakbench_stream_clients 0\n');
}
