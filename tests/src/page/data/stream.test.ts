/** The page's connection against a real server over real sockets, with another library's WebSocket. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { WebSocket } from 'ws';
import type { CloudEvent } from '../../../../src/events/index.ts';
import { createApi } from '../../../../src/page/data/api.ts';
import { type Connection, connect } from '../../../../src/page/data/connection.ts';
import {
  FIRST_PAUSE_MS,
  LAST_PAUSE_MS,
  nextPauseMs,
  type OpenSocket,
} from '../../../../src/page/data/follow.ts';
import { recentEvents } from '../../../../src/page/data/recent.ts';
import type { Link } from '../../../../src/page/types.ts';
import { type StandIn, startStandIn } from '../../../browser/harness/server.ts';
import { tellStory } from '../../../browser/harness/story.ts';

const openSocket: OpenSocket = (url, on) => {
  const socket = new WebSocket(url);
  socket.on('open', on.opened);
  socket.on('message', (data: Buffer) => {
    on.message(data.toString());
  });
  // A refused connection is told by `close` as well.
  socket.on('error', () => undefined);
  socket.on('close', on.closed);
  return socket;
};

let bench: StandIn;
let connection: Connection | null = null;

beforeEach(async () => {
  bench = await startStandIn(null, tellStory(5).snapshot);
  bench.snapshot = { ...bench.snapshot, sequence: 0 };
});

afterEach(async () => {
  connection?.stop();
  connection = null;
  await bench.close();
});

interface Seen {
  begun: number;
  readonly events: CloudEvent[];
  readonly links: Link[];
  readonly problems: (string | null)[];
}

function watch(token: string | null = null): Seen {
  const seen: Seen = { begun: 0, events: [], links: [], problems: [] };
  connection = connect(
    createApi(bench.url, () => token),
    openSocket,
    {
      rig: () => undefined,
      snapshot: () => undefined,
      begin: (events) => {
        seen.begun += 1;
        seen.events.splice(0, seen.events.length, ...events);
      },
      take: (event) => seen.events.push(event),
      link: (link, problem) => {
        seen.links.push(link);
        seen.problems.push(problem);
      },
    },
  );
  return seen;
}

function tell(count: number): void {
  for (let index = 0; index < count; index += 1) {
    bench.tell({
      id: 'gas.changed',
      atMs: bench.record.length * 100,
      fields: { at: 'coil-a', percentLfl: 1 },
    });
  }
}

function numbers(seen: Seen): readonly number[] {
  return seen.events.map((event) => event.sequence);
}

function upTo(last: number): readonly number[] {
  return Array.from({ length: last }, (_, index) => index + 1);
}

describe('following the stream', () => {
  it('begins with the recent past and goes on with the stream', async () => {
    tell(30);
    const seen = watch();
    await vi.waitFor(() => {
      expect(seen.links).toEqual(['live']);
    });
    tell(5);
    await vi.waitFor(() => {
      expect(numbers(seen)).toEqual(upTo(35));
    });
    expect(bench.streams).toEqual([30]);
  });

  it('goes on after a break from the last event seen, without a gap and without a repetition', async () => {
    tell(10);
    const seen = watch();
    await vi.waitFor(() => {
      expect(seen.links).toEqual(['live']);
    });
    tell(3);
    await vi.waitFor(() => {
      expect(seen.events).toHaveLength(13);
    });
    bench.dropSockets();
    tell(7);
    await vi.waitFor(() => {
      expect(numbers(seen)).toEqual(upTo(20));
    }, 5000);
    expect(seen.links).toEqual(['live', 'lost', 'live']);
    expect(bench.streams).toEqual([10, 13]);
    expect(seen.begun).toBe(1);
  });

  it('takes an event that comes twice once', async () => {
    tell(10);
    bench.overlap = 4;
    const seen = watch();
    await vi.waitFor(() => {
      expect(seen.links).toEqual(['live']);
    });
    tell(3);
    await vi.waitFor(() => {
      expect(seen.events.length).toBeGreaterThanOrEqual(13);
    });
    expect(numbers(seen)).toEqual(upTo(13));
  });

  it('asks anew after the last event in order when the stream leaves one out', async () => {
    const seen = watch();
    await vi.waitFor(() => {
      expect(seen.links).toEqual(['live']);
    });
    bench.withheld.add(4);
    tell(6);
    await vi.waitFor(() => {
      expect(numbers(seen)).toEqual(upTo(6));
    }, 5000);
    expect(bench.streams).toEqual([0, 3]);
  });

  it('begins anew when the record is another one than before, however long it is', async () => {
    tell(10);
    const seen = watch();
    await vi.waitFor(() => {
      expect(seen.links).toEqual(['live']);
    });
    bench.record = [];
    bench.recordId = 'second';
    bench.dropSockets();
    tell(15);
    await vi.waitFor(() => {
      expect(numbers(seen)).toEqual(upTo(15));
    }, 5000);
    expect(seen.events).toEqual(bench.record);
    expect(seen.begun).toBe(2);
  });

  it('gives a socket up for a new one when told that it brings nothing', async () => {
    const seen = watch();
    await vi.waitFor(() => {
      expect(seen.links).toEqual(['live']);
    });
    bench.withheld.add(1);
    tell(1);
    connection?.renew();
    await vi.waitFor(() => {
      expect(numbers(seen)).toEqual([1]);
    }, 5000);
  });

  it('keeps trying while the stream is down', async () => {
    bench.streamDown = true;
    const seen = watch();
    await vi.waitFor(() => {
      expect(bench.streams.length).toBeGreaterThanOrEqual(3);
    }, 10_000);
    bench.streamDown = false;
    tell(2);
    await vi.waitFor(() => {
      expect(numbers(seen)).toEqual([1, 2]);
    }, 10_000);
  });

  it('says in the bench’s own words why it may not look', async () => {
    bench.token = 'a secret';
    const seen = watch();
    await vi.waitFor(() => {
      expect(seen.problems).toContain('this bench wants a token');
    });
    expect(bench.streams).toEqual([]);
  });

  it('passes its token on, to requests and to the stream', async () => {
    bench.token = 'a secret&more';
    const seen = watch('a secret&more');
    await vi.waitFor(() => {
      expect(seen.links).toEqual(['live']);
    });
    tell(1);
    await vi.waitFor(() => {
      expect(numbers(seen)).toEqual([1]);
    });
  });

  it('doubles its pause up to the last with each failure, and begins anew after a success', () => {
    const pauses = Array.from({ length: 7 }).reduce<number[]>(
      (all) => [...all, nextPauseMs(all.at(-1) ?? 0, false)],
      [FIRST_PAUSE_MS],
    );
    expect(pauses).toEqual([250, 500, 1000, 2000, 4000, 8000, 8000, 8000]);
    expect(nextPauseMs(LAST_PAUSE_MS, true)).toBe(FIRST_PAUSE_MS);
  });
});

describe('reading the recent past', () => {
  it('reads it whole and in order, though the bench gives fewer events than asked', async () => {
    tell(1234);
    const got = await recentEvents(
      createApi(bench.url, () => null),
      1234,
      60 * 60_000,
    );
    expect(got.ok && got.value.map((event) => event.sequence)).toEqual(upTo(1234));
  });

  it('reads no further back than the window', async () => {
    tell(3000);
    const got = await recentEvents(
      createApi(bench.url, () => null),
      3000,
      10_000,
    );
    expect(got.ok && got.value[0]?.sequence).toBe(2501);
    expect(got.ok && got.value.at(-1)?.sequence).toBe(3000);
  });

  it('reads no further back than this run, whose time begins anew', async () => {
    tell(900);
    for (let index = 0; index < 400; index += 1) {
      bench.tell({ id: 'gas.changed', atMs: index, fields: { at: 'coil-a', percentLfl: 1 } });
    }
    const got = await recentEvents(
      createApi(bench.url, () => null),
      1300,
      60 * 60_000,
    );
    expect(got.ok && got.value[0]?.sequence).toBe(801);
  });

  it('finds nothing in an empty record', async () => {
    expect(
      await recentEvents(
        createApi(bench.url, () => null),
        0,
        1000,
      ),
    ).toEqual({ ok: true, value: [] });
  });

  it('tells trouble as a value', async () => {
    bench.token = 'a secret';
    const got = await recentEvents(
      createApi(bench.url, () => null),
      5,
      1000,
    );
    expect(got).toEqual({ ok: false, status: 401, text: 'this bench wants a token' });
  });
});

describe('asking the bench', () => {
  it('says so when nothing answers', async () => {
    const api = createApi(bench.url, () => null);
    await bench.close();
    expect(await api.now()).toEqual({ ok: false, status: 0, text: 'The bench did not answer.' });
    bench = await startStandIn(null, tellStory(5).snapshot);
  });

  it('sends steps and clock changes as they are', async () => {
    const api = createApi(bench.url, () => null);
    expect((await api.step({ fire: 'on' })).ok).toBe(true);
    expect((await api.clock({ speed: 5 })).ok).toBe(true);
    expect(bench.asked).toEqual([
      { path: '/api/v1/steps', body: { fire: 'on' } },
      { path: '/api/v1/clock', body: { speed: 5 } },
    ]);
  });

  it('passes the bench’s reason for a refusal on', async () => {
    bench.refusal = { status: 422, detail: '40 needs its unit, such as "40 %LFL"' };
    expect(await createApi(bench.url, () => null).step({ testGas: { at: 'coil-a', level: '40' } })).toEqual({
      ok: false,
      status: 422,
      text: '40 needs its unit, such as "40 %LFL"',
    });
  });
});
