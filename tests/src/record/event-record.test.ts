import { readdirSync } from 'node:fs';
import fc from 'fast-check';
import Database from 'libsql';
import { describe, expect, test, vi } from 'vitest';
import type { CloudEvent, Fact } from '../../../src/events/index.ts';
import { openReader, openRecord, READ_EVENTS_MAX } from '../../../src/record/index.ts';
import { gas, pressed, sequences, upTo } from './facts.ts';
import { newFolder, openedRecord } from './folders.ts';

describe('a record', () => {
  test('makes its folder, and begins empty', () => {
    const record = openedRecord({ folder: `${newFolder()}/deep/down` });
    expect(record.lastSequence()).toBe(0);
    expect(record.readAfter(0, 10)).toEqual([]);
    expect(record.latest(['fire.changed'])).toBeUndefined();
  });

  test('numbers facts from 1 without a gap, and gives back what it stored', () => {
    const record = openedRecord({ wallClock: () => Date.UTC(2025, 0, 2) });
    const first = record.append([pressed(10), pressed(20)]);
    const second = record.append([gas(30)]);
    expect(sequences([...first, ...second])).toEqual([1, 2, 3]);
    expect(record.readAfter(0, 10)).toEqual([...first, ...second]);
    expect(second[0]).toMatchObject({
      id: `${record.id}-3`,
      time: '2025-01-02T00:00:00.000Z',
      data: { atMs: 30, fields: { at: 'coil-a', percentLfl: 3 } },
    });
    expect(record.lastSequence()).toBe(3);
  });

  test('stores nothing for no facts, and tells nobody', () => {
    const record = openedRecord();
    let told = 0;
    record.subscribe(() => {
      told += 1;
    });
    expect(record.append([])).toEqual([]);
    expect([record.lastSequence(), told]).toEqual([0, 0]);
  });

  test('goes on where it stopped when it is opened again, under the same id', () => {
    const folder = newFolder();
    const before = openedRecord({ folder });
    before.append([pressed(1), pressed(2)]);
    before.close();
    before.close();
    const after = openedRecord({ folder });
    expect(after.id).toBe(before.id);
    expect(sequences(after.append([pressed(3)]))).toEqual([3]);
    expect(sequences(after.readAfter(0, 10))).toEqual([1, 2, 3]);
  });

  test('has an id that no other record has', () => {
    expect(openedRecord().id).not.toBe(openedRecord().id);
  });

  test('reads in pages, none of them larger than the limit of a reader', () => {
    const record = openedRecord();
    record.append(upTo(READ_EVENTS_MAX + 5).map(pressed));
    expect(sequences(record.readAfter(7, 3))).toEqual([8, 9, 10]);
    expect(record.readAfter(0, Number.POSITIVE_INFINITY)).toHaveLength(READ_EVENTS_MAX);
    expect(record.readAfter(0, -1)).toEqual([]);
    expect(sequences(record.readAfter(READ_EVENTS_MAX, 100))).toEqual(
      upTo(READ_EVENTS_MAX + 5, READ_EVENTS_MAX),
    );
  });

  test('reads back the newest of some types, over all of them together', () => {
    const record = openedRecord();
    const fire: Fact = { id: 'fire.changed', atMs: 0, fields: { on: true } };
    record.append([pressed(1), fire, gas(3), pressed(4), fire, gas(6)]);
    expect(record.latest(['serviceReset.pressed'])?.sequence).toBe(4);
    expect(record.latest(['serviceReset.pressed', 'fire.changed'])?.sequence).toBe(5);
    expect(sequences(record.readBack(['serviceReset.pressed', 'fire.changed'], 5, 2))).toEqual([4, 2]);
    expect(sequences(record.readBack(['fire.changed', 'serviceReset.pressed'], 99, 99))).toEqual([
      5, 4, 2, 1,
    ]);
    expect(record.readBack([], 99, 99)).toEqual([]);
  });
});

describe('listeners of a record', () => {
  test('hear what was stored once it can be read, and no longer than they want', () => {
    const record = openedRecord();
    const heard: number[] = [];
    const unsubscribe = record.subscribe((events) => {
      heard.push(...sequences(events));
      expect(record.readAfter(0, 99).at(-1)?.sequence).toBe(events.at(-1)?.sequence);
    });
    record.append([gas(1)]);
    record.append([pressed(2), pressed(3)]);
    unsubscribe();
    record.append([pressed(4)]);
    expect(heard).toEqual([1, 2, 3]);
  });

  test('hear of nothing that others could not read yet', () => {
    const folder = newFolder();
    const record = openedRecord({ folder });
    const heard: (readonly number[])[] = [];
    record.subscribe((events) => {
      const reader = openReader(folder);
      heard.push(sequences([...reader.events(0)]));
      reader.close();
      expect(heard.at(-1)?.slice(-events.length)).toEqual(sequences(events));
    });
    record.append([gas(1)]);
    record.append([pressed(2), pressed(3)]);
    expect(heard).toEqual([[1], [1, 2, 3]]);
  });

  test('hear everything in order, even what one of them causes', () => {
    const record = openedRecord();
    const heard: number[] = [];
    record.subscribe((events) => {
      if (events[0]?.sequence === 1) record.append([pressed(2)]);
    });
    record.subscribe((events) => {
      heard.push(...sequences(events));
    });
    record.append([pressed(1)]);
    expect(heard).toEqual([1, 2]);
  });

  test('harm neither the writer nor each other by throwing', () => {
    const failures: unknown[] = [];
    const record = openedRecord({ listenerFailed: (error) => failures.push(error) });
    const heard: number[] = [];
    record.subscribe(() => {
      throw new Error('a listener of ours broke');
    });
    record.subscribe((events) => {
      heard.push(...sequences(events));
    });
    expect(sequences(record.append([pressed(1)]))).toEqual([1]);
    expect(heard).toEqual([1]);
    expect(failures).toEqual([new Error('a listener of ours broke')]);
  });

  test('who throw are told of in a process warning where nobody asks for it', async () => {
    const warned = new Promise<Error>((resolve) => process.once('warning', resolve));
    const record = openedRecord();
    record.subscribe(() => {
      throw new Error('a listener of ours broke');
    });
    record.append([pressed(1)]);
    expect((await warned).message).toBe('a listener of ours broke');
  });
});

test('a listener that throws what is no error is told of as well', async () => {
  const warned = new Promise<Error>((resolve) => process.once('warning', resolve));
  const record = openedRecord();
  record.subscribe(() => {
    // What a library of somebody else may do.
    throw 'a word' as unknown as Error;
  });
  record.append([pressed(1)]);
  expect((await warned).message).toBe('a listener of the record threw');
});

describe('what a record asks of SQLite', () => {
  /** The statements of some kind, in their order; each is carried out as well. */
  function asked(kind: RegExp, act: () => void): readonly string[] {
    const exec = vi.spyOn(Database.prototype, 'exec');
    act();
    const found = exec.mock.calls.map(([sql]) => sql).filter((sql) => kind.test(sql));
    exec.mockRestore();
    return found;
  }

  test.each<[string, readonly Fact[], string]>([
    ['curves alone outlive the process', [gas(1), gas(2)], 'NORMAL'],
    ['anything else outlives the machine', [pressed(1)], 'FULL'],
    ['and so do curves beside it', [gas(1), pressed(2), gas(3)], 'FULL'],
  ])('%s', (_, facts, synchronous) => {
    const record = openedRecord();
    const statements = asked(/synchronous/u, () => {
      record.append([pressed(0)]);
      record.append([gas(0)]);
      record.append(facts);
    });
    expect(statements.at(-1)).toBe(`PRAGMA synchronous = ${synchronous}`);
    expect(statements).toHaveLength(3);
  });

  test('the old file is on disk before anything is in the next', () => {
    const record = openedRecord({ limitBytes: 8 });
    record.append([gas(1)]);
    const statements = asked(/PASSIVE|CREATE TABLE|BEGIN/u, () => {
      record.append([gas(2)]);
    });
    expect(statements[0]).toBe('PRAGMA wal_checkpoint(PASSIVE)');
    expect(statements.slice(1).map((sql) => sql.trim().slice(0, 6))).toEqual(['BEGIN ', 'CREATE', 'BEGIN ']);
  });

  test('a log of its own, so that whoever reads holds nobody up', () => {
    const folder = newFolder();
    openedRecord({ folder }).append([pressed(1)]);
    expect(readdirSync(folder)).toContain('record.db-wal');
  });
});

type Act = { readonly kind: 'plain' | 'trace'; readonly count: number } | { readonly kind: 'reopen' };

const acts = fc.array(
  fc.oneof(
    fc.record({
      kind: fc.constantFrom('plain' as const, 'trace' as const),
      count: fc.integer({ min: 0, max: 6 }),
    }),
    fc.constant<Act>({ kind: 'reopen' }),
  ),
  { maxLength: 25 },
);

test('is the list of its facts, whatever way they were handed over', () => {
  const run = (course: readonly Act[], after: number, limit: number): void => {
    const folder = newFolder();
    let record = openRecord({ folder, rigName: 'R' });
    const told: CloudEvent[] = [];
    const listen = (): void => {
      record.subscribe((events) => told.push(...events));
    };
    listen();
    const stated: number[] = [];
    for (const act of course) {
      if (act.kind === 'reopen') {
        record.close();
        record = openRecord({ folder, rigName: 'R' });
        listen();
      } else {
        const facts = upTo(act.count).map((index) => stated.length + index);
        record.append(facts.map(act.kind === 'plain' ? pressed : gas));
        stated.push(...facts);
      }
    }
    const all = record.readAfter(0, READ_EVENTS_MAX);
    expect(all.map(({ data }) => data.atMs)).toEqual(stated);
    expect(sequences(all)).toEqual(upTo(stated.length));
    expect(told).toEqual(all);
    expect(record.readAfter(after, limit)).toEqual(all.slice(after, after + limit));
    record.close();
  };
  fc.assert(fc.property(acts, fc.nat(20), fc.nat(20), run), { numRuns: 40 });
});
