/** The stream's promise under any course of storing, leaving and coming back. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { EventRecord } from '../../../src/record/index.ts';
import { gas, pressed, sequences, upTo } from '../record/facts.ts';
import { type OpenApi, openApi } from './open-api.ts';
import { openStream, type StreamClient } from './stream-client.ts';

function turn(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}

/** What happens around one client: facts are stored, it goes away and comes back, others take their turn. */
type Act =
  | { readonly kind: 'store' | 'trace'; readonly count: number }
  | { readonly kind: 'leave' | 'yield' };

const course = fc.array(
  fc.oneof(
    fc.record({
      kind: fc.constantFrom('store' as const, 'trace' as const),
      count: fc.integer({ min: 1, max: 60 }),
    }),
    fc.constant<Act>({ kind: 'leave' }),
    fc.constant<Act>({ kind: 'yield' }),
  ),
  { minLength: 3, maxLength: 16 },
);

async function play(
  { url }: OpenApi,
  record: EventRecord,
  after: number,
  acts: readonly Act[],
): Promise<number[]> {
  const got: number[] = [];
  let last = after;
  let client: StreamClient = await openStream(url, `after=${last}`);
  const leave = async (): Promise<void> => {
    client.socket.terminate();
    await client.closed;
    got.push(...sequences(client.events));
    last = got.at(-1) ?? after;
  };
  for (const act of acts) {
    if (act.kind === 'yield') await turn();
    else if (act.kind === 'leave') {
      await leave();
      client = await openStream(url, `after=${last}`);
    } else if ('count' in act) {
      record.append(upTo(act.count).map(act.kind === 'store' ? pressed : gas));
    }
  }
  // A client that had everything when it came back waits for nothing.
  if (last < record.lastSequence()) await client.got(record.lastSequence());
  await leave();
  return got;
}

test('every client gets every event once and in order, however often it comes back', async () => {
  const api = await openApi();
  api.record.append(upTo(600).map(pressed));
  const { record } = api;
  await fc.assert(
    fc.asyncProperty(course, fc.double({ min: 0, max: 1, noNaN: true }), async (acts, share) => {
      const after = Math.floor(share * record.lastSequence());
      const [first, second] = await Promise.all([play(api, record, after, acts), play(api, record, 0, acts)]);
      const last = record.lastSequence();
      expect(first.length).toBeLessThanOrEqual(last - after);
      expect(first).toEqual(upTo(after + first.length, after));
      expect(second).toEqual(upTo(second.length));
      expect(Math.max(after + first.length, second.length)).toBe(last);
    }),
    { numRuns: 10 },
  );
});
