/** Records that are sound, and those that somebody or something has spoilt. */
import { copyFileSync, readFileSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Fact } from '../../../src/events/index.ts';
import { type Unsound, verifyRecord } from '../../../src/record/index.ts';
import { segmentsIn } from '../../../src/record/segments.ts';
import { gas, pressed, sequences, upTo } from './facts.ts';
import { newFolder, openedRecord } from './folders.ts';
import { nameOf, overwrite, recordOf, tamper, threeFiles } from './spoilt.ts';

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

const BENCH_STARTED: Fact = { id: 'bench.started', atMs: 0, fields: { rig: 'R' } };
const COMMANDED: Fact = {
  id: 'command.changed',
  atMs: 0,
  fields: { output: 'fan', on: true, because: ['one', 'two'] },
};

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
      'over a start of which no supervisor told',
      [started('running'), BENCH_STARTED, changed('holding', 'running')],
    ],
    [
      'over a fresh start of which no supervisor told',
      [
        started('running'),
        { id: 'bench.reset', atMs: 0, fields: { reason: 'r' } },
        changed('fire', 'holding'),
      ],
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
  test('because a file lacks what it must hold: its events are passed over, the rest is held against itself', () => {
    const folder = threeFiles();
    const [first, middle] = segmentsIn(folder);
    const { last } = verifyRecord(folder);
    tamper(folder, 'DELETE FROM about', nameOf(middle));
    const problem = 'the database is damaged: what it must hold is not there';
    expect(verifyRecord(folder)).toMatchObject({
      last,
      files: segmentsIn(folder).map(nameOf),
      unsound: [{ file: nameOf(middle), sequence: null, problem }],
    });
    tamper(folder, 'DROP TABLE about', nameOf(first));
    expect(verifyRecord(folder)).toMatchObject({
      last,
      unsound: [
        { file: 'record.db', problem: expect.stringMatching(/damaged: .*no such table/u) as string },
        { file: nameOf(middle), problem },
      ],
    });
  });

  test('because its only file lacks what it must hold', () => {
    const folder = recordOf([pressed(1)]);
    tamper(folder, 'DELETE FROM about');
    expect(verifyRecord(folder)).toMatchObject({ id: 'unknown', first: 1, last: 0, files: ['record.db'] });
  });

  test('up to the event before, where its newest is spoilt', () => {
    const folder = recordOf([pressed(1), pressed(2), pressed(3)]);
    tamper(folder, 'DELETE FROM events WHERE sequence = 2');
    expect(verifyRecord(folder)).toMatchObject({ last: 1, unsound: [{ sequence: 2 }] });
  });

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
      'UPDATE events SET sequence = -sequence; UPDATE events SET sequence = 7 + sequence',
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
      'an event names another sequence',
      "UPDATE events SET event = json_set(event, '$.sequence', 9) WHERE sequence = 3",
      3,
      /another event/u,
    ],
    [
      'an event is one of another record',
      "UPDATE events SET event = json_set(event, '$.id', 'other-3') WHERE sequence = 3",
      3,
      /another event/u,
    ],
    [
      'a field within a field is not as it should be',
      "UPDATE events SET event = json_set(event, '$.data.fields.because[1]', 7) WHERE sequence = 6",
      6,
      /field because\.1 is not as the catalogue says/u,
    ],
    [
      'a field is not as it should be',
      "UPDATE events SET event = json_set(event, '$.data.fields.state', 7) WHERE sequence = 1",
      1,
      /field state/u,
    ],
  ])('because %s', (_, sql, sequence, problem) => {
    const folder = recordOf([started('running'), pressed(2), pressed(3), pressed(4), pressed(5), COMMANDED]);
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
