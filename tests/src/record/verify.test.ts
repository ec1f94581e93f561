/** Records that somebody or something has spoilt, and whoever reads them. */
import {
  closeSync,
  copyFileSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Fact } from '../../../src/events/index.ts';
import { openReader, RecordError, type Unsound, verifyRecord } from '../../../src/record/index.ts';
import { segmentsIn } from '../../../src/record/segments.ts';
import { gas, pressed, sequences, upTo } from './facts.ts';
import { newFolder, openedRecord } from './folders.ts';
import { meddle } from './meddle.ts';

const changed = (from: string, to: string): Fact => ({
  id: 'mitigation.changed',
  atMs: 0,
  fields: { from, to, reason: 'a test' },
});
const started = (state: string): Fact => ({
  id: 'supervisor.started',
  atMs: 0,
  fields: { state, reason: 'a test' },
});
const stopped = (state: string): Fact => ({
  id: 'supervisor.stopped',
  atMs: 0,
  fields: { state, unmitigated: false },
});

/** Three files of 2,000 events each, the last one still small. */
function threeFiles(): string {
  const folder = newFolder();
  const record = openedRecord({ folder, limitBytes: 8 * 1024 ** 2 });
  while (segmentsIn(folder).length < 3) record.append(upTo(200).map(pressed));
  record.close();
  return folder;
}

function recordOf(facts: readonly Fact[]): string {
  const folder = newFolder();
  const record = openedRecord({ folder });
  record.append(facts);
  record.close();
  return folder;
}

/** Events stay as they are but for this. */
function tamper(folder: string, sql: string, file?: string): void {
  meddle(folder, `DROP TRIGGER events_stay; DROP TRIGGER events_remain; ${sql}`, file);
}

function overwrite(path: string, from: number, length: number): void {
  const file = openSync(path, 'r+');
  writeSync(file, Buffer.alloc(length, 0xa5), 0, length, from);
  closeSync(file);
}

const found = (folder: string): readonly Unsound[] => verifyRecord(folder).unsound;

describe('a record is sound', () => {
  test('as it was written, in one file or many, and while it is being written', () => {
    const folder = threeFiles();
    const names = segmentsIn(folder).map(({ path }) => path);
    expect(verifyRecord(folder)).toMatchObject({ first: 1, unsound: [] });
    const writer = openedRecord({ folder });
    writer.append([started('starting'), changed('starting', 'running'), gas(1)]);
    const before = names.map((path) => readFileSync(path));
    expect(verifyRecord(folder)).toMatchObject({ id: writer.id, last: writer.lastSequence(), unsound: [] });
    expect(names.map((path, index) => readFileSync(path).equals(before[index] ?? Buffer.of()))).toEqual(
      names.map(() => true),
    );
    expect(sequences(writer.append([gas(2)]))).toEqual([writer.lastSequence()]);
  });

  test('where the zero of a sensor has drifted below nothing', () => {
    const fields = { sensor: 'coil-a', state: 'measuring', percentLfl: -0.1 };
    const folder = recordOf([{ id: 'reading.changed', atMs: 0, fields }]);
    expect(verifyRecord(folder)).toMatchObject({ last: 1, unsound: [] });
  });

  test('where its oldest files were let go', () => {
    const folder = newFolder();
    const record = openedRecord({ folder, limitBytes: 8 });
    for (const n of upTo(4)) record.append([pressed(n)]);
    expect(verifyRecord(folder)).toMatchObject({ first: record.firstSequence(), unsound: [] });
  });

  test.each<[string, readonly Fact[]]>([
    [
      'over a power cut',
      [started('running'), changed('running', 'fire'), started('holding'), changed('holding', 'running')],
    ],
    [
      'over a fresh start',
      [started('running'), { id: 'bench.reset', atMs: 0, fields: { reason: 'r' } }, started('starting')],
    ],
    [
      'where facts were lost',
      [
        started('running'),
        { id: 'facts.lost', atMs: 0, fields: { count: 2 } },
        changed('holding', 'running'),
      ],
    ],
    [
      'over an orderly stop',
      [started('running'), stopped('running'), started('starting'), stopped('starting')],
    ],
  ])('%s', (_, facts) => {
    expect(found(recordOf(facts))).toEqual([]);
  });
});

describe('a record is not sound', () => {
  test.each<[string, string, number, RegExp]>([
    [
      'an event is missing',
      'DELETE FROM events WHERE sequence = 3',
      3,
      /missing; the next that is there is 4/u,
    ],
    ['its beginning is missing', 'DELETE FROM events WHERE sequence < 3', 1, /missing; .* is 3/u],
    ['an event is no JSON', "UPDATE events SET event = '{' WHERE sequence = 2", 2, /no event in JSON/u],
    ['an event is other JSON', "UPDATE events SET event = '{}' WHERE sequence = 2", 2, /no event in JSON/u],
    [
      'two events changed places',
      'UPDATE events SET sequence = -sequence; UPDATE events SET sequence = 6 + sequence',
      1,
      /another event/u,
    ],
    [
      'a type was changed',
      "UPDATE events SET type = 'leakbench.fire.changed' WHERE sequence = 4",
      4,
      /another event/u,
    ],
    [
      'a type is unknown',
      "UPDATE events SET type = 'x', event = json_set(event, '$.type', 'x') WHERE sequence = 5",
      5,
      /type x is not in the catalogue/u,
    ],
    [
      'a field is not as it should be',
      "UPDATE events SET event = json_set(event, '$.data.fields.state', 7) WHERE sequence = 1",
      1,
      /field state/u,
    ],
  ])('because %s', (_, sql, sequence, problem) => {
    const folder = recordOf([started('running'), pressed(2), pressed(3), pressed(4), pressed(5)]);
    tamper(folder, sql);
    expect(found(folder)).toEqual([
      { file: 'record.db', sequence, problem: expect.stringMatching(problem) as string },
    ]);
  });

  test.each<[string, readonly Fact[], RegExp]>([
    [
      'changed from a state that it was not in',
      [started('holding'), changed('running', 'mitigating')],
      /been running, but it was holding/u,
    ],
    [
      'changed twice from one state',
      [started('running'), changed('running', 'fire'), changed('running', 'holding')],
      /been running, but it was fire/u,
    ],
    [
      'stopped in a state that it was not in',
      [started('holding'), stopped('running')],
      /been running, but it was holding/u,
    ],
  ])('because the supervisor %s', (_, facts, problem) => {
    const [one] = found(recordOf(facts));
    expect(one).toMatchObject({ sequence: facts.length, problem: expect.stringMatching(problem) as string });
  });

  test('because a file in the middle is gone, is of another record, or is spoilt: that one alone is told', () => {
    const folder = threeFiles();
    const [, middle, newest] = segmentsIn(folder);
    if (middle === undefined || newest === undefined) throw new Error('not three files');
    const kept = join(newFolder(), 'kept.db');
    copyFileSync(middle.path, kept);
    overwrite(middle.path, 65_536, statSync(middle.path).size - 65_536);
    expect(found(folder)).toEqual([
      {
        file: expect.stringContaining(String(middle.first)) as string,
        sequence: null,
        problem: expect.stringContaining('damaged') as string,
      },
    ]);
    rmSync(middle.path);
    expect(found(folder)).toEqual([
      {
        file: expect.stringContaining(String(newest.first)) as string,
        sequence: null,
        problem: expect.stringContaining(`where ${middle.first} would be next`) as string,
      },
    ]);
    copyFileSync(kept, middle.path);
    tamper(folder, "UPDATE about SET id = 'another'", middle.path.slice(folder.length + 1));
    expect(found(folder)).toMatchObject([{ sequence: null, problem: 'it is a file of another record' }]);
  });
});

describe('where there is no record to read', () => {
  const kindOf = (folder: string): string => {
    try {
      openReader(folder).close();
    } catch (error) {
      if (error instanceof RecordError) return error.kind;
      throw error;
    }
    return 'read';
  };

  test.each<[string, (folder: string) => void, string]>([
    ['nothing is there', () => undefined, 'missing'],
    [
      'a file is empty',
      (folder) => {
        writeFileSync(join(folder, 'record.db'), '');
      },
      'missing',
    ],
    [
      'a file is no database',
      (folder) => {
        writeFileSync(join(folder, 'record.db'), 'notes of last summer\n'.repeat(500));
      },
      'notARecord',
    ],
    [
      'a folder has its name',
      (folder) => {
        mkdirSync(join(folder, 'record.db'));
      },
      'notARecord',
    ],
  ])('because %s', (_, make, kind) => {
    const folder = newFolder();
    make(folder);
    const before = readdirSync(folder);
    expect(kindOf(folder)).toBe(kind);
    expect(readdirSync(folder)).toEqual(before);
  });

  test('because the folder is not there, and none is made', () => {
    const folder = join(newFolder(), 'none');
    expect(kindOf(folder)).toBe('missing');
    expect(() => statSync(folder)).toThrow('ENOENT');
  });

  test('because a record has lost its tables', () => {
    const folder = recordOf([pressed(1)]);
    tamper(folder, 'DROP TABLE about');
    expect(kindOf(folder)).toBe('damaged');
  });
});

test('a reader gives the events over all files up to where the record stood when it was opened', () => {
  const folder = threeFiles();
  const writer = openedRecord({ folder });
  const last = writer.lastSequence();
  const reader = openReader(folder);
  writer.append([pressed(1)]);
  expect(sequences([...reader.events(0)])).toEqual(upTo(last));
  expect(sequences([...reader.events(last - 1)])).toEqual([last]);
  expect([...reader.events(last)]).toEqual([]);
  expect(reader.counts().reduce((sum, { count }) => sum + count, 0)).toBe(last + 1);
  reader.close();
});
