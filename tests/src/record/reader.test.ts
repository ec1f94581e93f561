/** Whoever reads a record, while it is written or later. */
import { mkdirSync, readdirSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import Database from 'libsql';
import { describe, expect, onTestFinished, test } from 'vitest';
import { openReader, verifyRecord } from '../../../src/record/index.ts';
import { segmentsIn } from '../../../src/record/segments.ts';
import { gas, pressed, sequences, upTo } from './facts.ts';
import { newFolder, openedRecord } from './folders.ts';
import { overwrite, recordOf, tamper, threeFiles } from './spoilt.ts';
import { troubleOf } from './trouble-of.ts';

describe('where there is no record to read', () => {
  const NONE = /There is no record in .*: name the folder of one with --data/u;
  const OTHER = /record\.db is not a record: name the folder of one/u;
  test.each<[string, (folder: string) => void, string, RegExp]>([
    ['nothing is there', () => undefined, 'missing', NONE],
    [
      'a file is empty',
      (folder) => {
        writeFileSync(join(folder, 'record.db'), '');
      },
      'missing',
      NONE,
    ],
    [
      'a file is no database',
      (folder) => {
        writeFileSync(join(folder, 'record.db'), 'notes of last summer\n'.repeat(500));
      },
      'notARecord',
      OTHER,
    ],
  ])('because %s', (_, make, kind, says) => {
    const folder = newFolder();
    make(folder);
    const before = readdirSync(folder);
    const error = troubleOf(() => openReader(folder));
    expect(error.kind).toBe(kind);
    expect(error.message).toMatch(says);
    expect(readdirSync(folder)).toEqual(before);
  });

  test('because the folder is not there, and none is made', () => {
    const folder = join(newFolder(), 'none');
    const error = troubleOf(() => openReader(folder));
    expect(error.kind).toBe('missing');
    expect(error.message).toMatch(/none cannot be read .*name the folder of a record with --data/u);
    expect(() => statSync(folder)).toThrow('ENOENT');
  });

  test('because a folder has its name', () => {
    const folder = newFolder();
    mkdirSync(join(folder, 'record.db'));
    expect(troubleOf(() => openReader(folder)).kind).toBe('notARecord');
  });

  test('nor to verify', () => {
    expect(troubleOf(() => verifyRecord(newFolder())).message).toMatch(NONE);
  });

  test('because a record has lost its tables', () => {
    const folder = recordOf([pressed(1)]);
    tamper(folder, 'DROP TABLE about');
    expect(troubleOf(() => openReader(folder)).kind).toBe('damaged');
  });

  test('because its beginning is gone, its newest events, or what is counted', () => {
    const nameless = recordOf([pressed(1)]);
    tamper(nameless, 'DELETE FROM about');
    expect(troubleOf(() => openReader(nameless)).kind).toBe('damaged');
    const folder = threeFiles();
    const [, middle, newest] = segmentsIn(folder).map(({ path }) => path);
    overwrite(middle ?? '', 65_536, statSync(middle ?? '').size - 65_536);
    const reader = openReader(folder);
    onTestFinished(() => {
      reader.close();
    });
    expect(troubleOf(() => reader.counts()).kind).toBe('damaged');
    overwrite(newest ?? '', 8192, statSync(newest ?? '').size - 8192);
    expect(troubleOf(() => openReader(folder)).kind).toBe('damaged');
  });
});

describe('a file that is gone by the time it would be opened', () => {
  /** As a listing made before may still name it. */
  const gone = (folder: string, sequence: number): void => {
    symlinkSync('nowhere', join(folder, `record-${String(sequence).padStart(12, '0')}.db`));
  };

  test('was the oldest: what comes after it is read, and nothing before it', () => {
    const folder = threeFiles();
    const [, middle, newest] = segmentsIn(folder);
    if (middle === undefined || newest === undefined) throw new Error('three files');
    gone(folder, middle.first - 1);
    const reader = openReader(folder);
    expect(reader.files.map(({ segment }) => segment.first)).toEqual([middle.first, newest.first]);
    expect(reader.first).toBe(middle.first);
    reader.close();
    gone(folder, newest.first - 1);
    expect(verifyRecord(folder)).toMatchObject({ first: newest.first, unsound: [] });
  });

  test('and what is just begun beside it is nobody’s yet', () => {
    const folder = threeFiles();
    const { last } = verifyRecord(folder);
    writeFileSync(join(folder, `record-${String(last + 1).padStart(12, '0')}.db`), '');
    expect(verifyRecord(folder)).toMatchObject({ first: 1, last, unsound: [] });
  });

  test('other files of the folder are none of the record', () => {
    const folder = recordOf([pressed(1)]);
    for (const name of ['my-record-000000000002.db', 'record-2.db.bak', 'record-x.db', 'records.db'])
      writeFileSync(join(folder, name), 'notes of last summer');
    expect(verifyRecord(folder)).toMatchObject({ files: ['record.db'], unsound: [] });
  });
});

describe('a file that another program holds', () => {
  test('for good cannot be read where it is: it is waited for, and then said', () => {
    const folder = threeFiles();
    const holder = new Database(segmentsIn(folder)[1]?.path ?? '');
    onTestFinished(() => void holder.close());
    holder.exec('BEGIN EXCLUSIVE');
    const error = troubleOf(() => verifyRecord(folder));
    expect(error.kind).toBe('unreadable');
    expect(error.message).toMatch(/cannot be read \(.*\): copy its folder to where you may write/u);
  });

  /** A thread that holds a database for so long, once the promise is there. */
  function held(path: string, ms: number): Promise<unknown> {
    const code = `const Database = require('libsql');
      const { parentPort, workerData: { path, ms } } = require('node:worker_threads');
      const holder = new Database(path);
      holder.exec('BEGIN EXCLUSIVE');
      parentPort.postMessage('held');
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, ms);
      holder.exec('COMMIT');
      holder.close();`;
    const thread = new Worker(code, { eval: true, workerData: { path, ms } });
    return new Promise((resolve) => thread.once('message', resolve));
  }

  test('for a moment is waited for, by reader and writer', async () => {
    const folder = recordOf([pressed(1)]);
    const path = join(folder, 'record.db');
    await held(path, 200);
    const reader = openReader(folder);
    expect(reader.last).toBe(1);
    reader.close();
    await held(path, 200);
    expect(openedRecord({ folder }).lastSequence()).toBe(1);
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

test('a reader that is closed counts nothing any more, in no file', () => {
  const reader = openReader(threeFiles());
  const { files } = reader;
  reader.close();
  expect(() => reader.counts()).toThrow();
  for (const { stored } of files) expect(() => stored.database.prepare('SELECT 1').all()).toThrow();
});

test('a reader gives those of some types from where it was opened backwards, page by page, file by file', () => {
  const folder = threeFiles();
  const writer = openedRecord({ folder });
  writer.append([gas(1), pressed(2)]);
  const last = writer.lastSequence();
  const reader = openReader(folder);
  onTestFinished(() => {
    reader.close();
  });
  writer.append([pressed(1), gas(2)]);
  const pressedAt = upTo(last).filter((sequence) => sequence !== last - 1);
  expect(sequences([...reader.back(['serviceReset.pressed'])])).toEqual(pressedAt.toReversed());
  expect(sequences([...reader.back(['gas.changed'])])).toEqual([last - 1]);
  const both = sequences([...reader.back(['gas.changed', 'serviceReset.pressed'])]);
  expect(both).toEqual([last - 1, ...pressedAt.toReversed()]);
  expect([...reader.back(['fire.changed'])]).toEqual([]);
});
