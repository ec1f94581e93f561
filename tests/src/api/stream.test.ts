/** RFC 6455 is the WebSocket protocol. */
import { once } from 'node:events';
import { describe, expect, test } from 'vitest';
import { STREAM_CLOSE } from '../../../src/api/index.ts';
import type { Fact } from '../../../src/events/index.ts';
import { gas, pressed, sequences, upTo } from '../record/facts.ts';
import { ask, problemIn } from './ask.ts';
import { openApi } from './open-api.ts';
import { openStream, refusedStream } from './stream-client.ts';

/** An event of some 100 KB, so that a few of them fill what a connection holds. */
function bulky(atMs: number): Fact {
  return {
    id: 'fault.injected',
    atMs,
    fields: { in: 'coil-a', kind: 'noisy', parameters: { note: 'x'.repeat(100_000) } },
  };
}

function turn(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}

describe('the event stream', () => {
  test('gives what is stored and then what is to come, one event a message', async () => {
    const { url, record } = await openApi();
    record.append([pressed(1), gas(2)]);
    const client = await openStream(url);
    await client.got(2);
    record.append([pressed(3)]);
    record.append([gas(4)]);
    record.append([pressed(5)]);
    await client.got(5);
    expect(client.events).toEqual(record.readAfter(0, 9));
  });

  test('begins after the sequence that is asked for, even at the very end', async () => {
    const { url, record } = await openApi();
    record.append(upTo(10).map(pressed));
    const [middle, end] = [await openStream(url, 'after=7'), await openStream(url, 'after=10')];
    record.append([pressed(11)]);
    await Promise.all([middle.got(11), end.got(11)]);
    expect(sequences(middle.events)).toEqual([8, 9, 10, 11]);
    expect(sequences(end.events)).toEqual([11]);
  });

  test('gives a long record whole, in order', async () => {
    const { url, record } = await openApi();
    record.append(upTo(4000).map(pressed));
    const client = await openStream(url, 'after=1');
    await client.got(4000);
    expect(sequences(client.events)).toEqual(upTo(4000, 1));
  });

  test('gives events of any length, each in one message (section 5.2)', async () => {
    const { url, record } = await openApi();
    const noted = (letters: number): Fact => ({
      id: 'fault.injected',
      atMs: 1,
      fields: { in: 'coil-a', kind: 'noisy', parameters: { note: 'é'.repeat(letters) } },
    });
    const client = await openStream(url);
    // Lengths take two bytes more from 126 on, and eight from 65,536 on.
    const around = Array.from({ length: 40 }, (_, index) => noted(32_450 + 10 * index));
    record.append([noted(0), ...around]);
    await client.got(41);
    expect(client.events).toEqual(record.readAfter(0, 400));
    const lengths = client.events.map((event) => Buffer.byteLength(JSON.stringify(event)));
    expect(Math.min(...lengths.slice(1))).toBeLessThan(65_536);
    expect(Math.max(...lengths)).toBeGreaterThan(65_536);
  });

  test('is closed for a client that is ahead of the record: it may be another one', async () => {
    const { url, record } = await openApi();
    record.append([pressed(1)]);
    const client = await openStream(url, 'after=2');
    expect(await client.closed).toEqual(STREAM_CLOSE.aheadOfRecord);
    expect(client.events).toEqual([]);
  });

  test('is closed for a client whose next events are out of the record, and open for one that has none', async () => {
    const { url, record } = await openApi({ limitBytes: 8 });
    for (const n of upTo(5)) record.append([pressed(n)]);
    const first = record.firstSequence();
    expect(first).toBeGreaterThan(3);
    const late = await openStream(url, `after=${first - 2}`);
    expect(await late.closed).toEqual(STREAM_CLOSE.goneFromRecord);
    const [level, fresh] = [await openStream(url, `after=${first - 1}`), await openStream(url)];
    await Promise.all([level.got(record.lastSequence()), fresh.got(record.lastSequence())]);
    expect(sequences(level.events)).toEqual(upTo(record.lastSequence(), first - 1));
    expect(sequences(fresh.events)).toEqual(sequences(level.events));
    expect(late.events).toEqual([]);
  });

  test('begins with what is there, whatever was there when somebody else began', async () => {
    const { url, record } = await openApi({ limitBytes: 1024 * 1024 });
    record.append(upTo(300).map(pressed));
    const early = await openStream(url);
    await early.got(300);
    while (record.firstSequence() <= 300) record.append(upTo(300).map(pressed));
    const [first, last] = [record.firstSequence(), record.lastSequence()];
    const late = await openStream(url);
    await Promise.race([late.got(last), late.closed]);
    expect(sequences(late.events)).toEqual(upTo(last, first - 1));
  });

  test.each(['after=-1', 'after=x', 'after=0.5'])('is not opened for %s', async (query) => {
    const { url } = await openApi();
    expect(problemIn(await refusedStream(url, query)).status).toBe(400);
  });

  test('is a WebSocket: a plain request is told to upgrade (RFC 9110 section 15.5.22)', async () => {
    const { url } = await openApi();
    const answer = await ask(`${url}/api/v1/stream`);
    expect(problemIn(answer)).toMatchObject({ type: '/problems/upgrade-needed', status: 426 });
    expect(answer.headers).toMatchObject({ upgrade: 'websocket' });
  });

  test.each(['/api/v1/now', '/', '/nothing'])('is at no other address: not at %s', async (path) => {
    const { url } = await openApi();
    const { closed } = await openStream(`${url}${path}?x=`).catch(() => ({
      closed: Promise.resolve({ code: 404 }),
    }));
    expect([404, 1005]).toContain((await closed).code);
  });

  test('has a number of clients, and a place is free again once one has gone', async () => {
    const { url, record } = await openApi({ limits: { clientsMax: 1 } });
    const first = await openStream(url);
    expect(problemIn(await refusedStream(url))).toMatchObject({
      type: '/problems/too-many-streams',
      status: 503,
    });
    first.socket.close();
    await first.closed;
    record.append([pressed(1)]);
    const second = await openStream(url);
    await second.got(1);
    expect(sequences(second.events)).toEqual([1]);
  });

  test('ends for a client that talks too much, and for that one alone', async () => {
    const { url, record, log } = await openApi();
    const [loud, quiet] = [await openStream(url), await openStream(url)];
    loud.socket.send('x'.repeat(2000));
    expect((await loud.closed).code).toBe(1009);
    record.append([pressed(1)]);
    await quiet.got(1);
    expect(log.some((line) => line.includes('a stream broke'))).toBe(true);
  });

  test('does not mind what a client says otherwise', async () => {
    const { url, record } = await openApi();
    const client = await openStream(url);
    client.socket.send('hello?');
    record.append([pressed(1)]);
    await client.got(1);
    expect(sequences(client.events)).toEqual([1]);
  });

  test('is closed where the record cannot be read, and the log says why', async () => {
    let broken = false;
    const { url, record, log } = await openApi({
      seen: (whole) => ({
        ...whole,
        readAfter: (...asked) => {
          if (broken) throw new Error('the disk is gone');
          return whole.readAfter(...asked);
        },
      }),
    });
    record.append([pressed(1)]);
    broken = true;
    const client = await openStream(url);
    expect(await client.closed).toEqual(STREAM_CLOSE.recordFailed);
    expect(log.join('')).toContain('the disk is gone');
  });
});

describe('a client that reads too slowly', () => {
  test('is closed with a reason once its queue is full, and goes on from what it got', async () => {
    const { url, record } = await openApi({ limits: { queueBytesMax: 300_000 } });
    const [slow, quick] = [await openStream(url), await openStream(url)];
    slow.socket.pause();
    for (const atMs of upTo(300)) {
      record.append([bulky(atMs)]);
      await turn();
      await quick.got(atMs);
    }
    slow.socket.resume();
    expect(await slow.closed).toEqual(STREAM_CLOSE.tooSlow);
    const last = slow.events.at(-1)?.sequence ?? 0;
    expect(last).toBeLessThan(300);
    expect(sequences(slow.events)).toEqual(upTo(last));
    expect(sequences(quick.events)).toEqual(upTo(300));

    const again = await openStream(url, `after=${last}`);
    await again.got(300);
    expect(sequences(again.events)).toEqual(upTo(300, last));
    expect((await ask(`${url}/metrics`)).text).toContain('leakbench_stream_slow_clients_total 1\n');
  });

  test('holds up a replay without filling the memory, and gets all of it in the end', async () => {
    const { url, record } = await openApi({ limits: { queueBytesMax: 300_000 } });
    for (const start of [0, 100, 200]) record.append(upTo(start + 100, start).map(bulky));
    const client = await openStream(url);
    client.socket.pause();
    record.append([pressed(301)]);
    await turn();
    client.socket.resume();
    await client.got(301);
    expect(sequences(client.events)).toEqual(upTo(301));
  });

  test('that goes away in the middle of a replay is read for no further', async () => {
    let pages = 0;
    const { url, record } = await openApi({
      seen: (whole) => ({
        ...whole,
        readAfter: (...asked) => {
          pages += 1;
          return whole.readAfter(...asked);
        },
      }),
    });
    for (const start of [0, 250, 500, 750]) record.append(upTo(start + 250, start).map(bulky));
    const client = await openStream(url);
    client.socket.pause();
    client.socket.terminate();
    await client.closed;
    const other = await openStream(url, 'after=1000');
    record.append([pressed(1001)]);
    await other.got(1001);
    expect(pages).toBeLessThan(5);
  });

  test('is closed when it answers no ping, as one that is gone', async () => {
    const { url } = await openApi({ limits: { heartbeatMs: 50 } });
    const deaf = await openStream(url, '', { autoPong: false });
    expect(await deaf.closed).toEqual(STREAM_CLOSE.tooSlow);
  });

  test('is closed in the middle of a replay too, and gets no more of it than was on its way', async () => {
    const { url, record } = await openApi({ limits: { heartbeatMs: 50 } });
    for (const start of [0, 250, 500, 750]) record.append(upTo(start + 250, start).map(bulky));
    const client = await openStream(url);
    client.socket.pause();
    const slow = async (): Promise<string> => (await ask(`${url}/metrics`)).text;
    while (!(await slow()).includes('leakbench_stream_slow_clients_total 1\n')) await turn();
    client.socket.resume();
    expect(await client.closed).toEqual(STREAM_CLOSE.tooSlow);
    expect(sequences(client.events)).toEqual(upTo(client.events.length));
    expect(client.events.length).toBeLessThan(1000);
  });

  test('is not one that is merely quiet', async () => {
    // Long enough for a busy machine to answer a ping in.
    const { url, record } = await openApi({ limits: { heartbeatMs: 250 } });
    const quiet = await openStream(url);
    for (let pings = 0; pings < 5; pings += 1) await once(quiet.socket, 'ping');
    record.append([pressed(1)]);
    await quiet.got(1);
    expect(sequences(quiet.events)).toEqual([1]);
  });
});

describe('a bench that stops', () => {
  test('says goodbye to its clients', async () => {
    const api = await openApi();
    const client = await openStream(api.url);
    await api.close();
    expect(await client.closed).toEqual(STREAM_CLOSE.stopping);
  });

  test('waits for none that does not answer, and reads nothing for those who are leaving', async () => {
    const api = await openApi({ limits: { stopGraceMs: 50, heartbeatMs: 20, queueBytesMax: 1000 } });
    const [paused, slow] = [await openStream(api.url), await openStream(api.url)];
    slow.socket.pause();
    for (const atMs of upTo(120)) api.record.append([bulky(atMs)]);
    paused.socket.pause();
    await api.close();
    expect(api.app.server.listening).toBe(false);
    slow.socket.resume();
    expect([1006, STREAM_CLOSE.tooSlow.code]).toContain((await slow.closed).code);
  });
});
