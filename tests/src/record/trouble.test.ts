/** Real files in the states that a disk, a person or another program leaves them in. */
import {
  closeSync,
  mkdirSync,
  openSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { openRecord, type RecordError, type RecordTrouble } from '../../../src/record/index.ts';
import { gas, pressed, sequences, upTo } from './facts.ts';
import { newFolder, openedRecord } from './folders.ts';
import { meddle } from './meddle.ts';
import { troubleOf } from './trouble-of.ts';

function openingTrouble(folder: string): RecordError {
  return troubleOf(() => openRecord({ folder, rigName: 'R' }));
}

/** Works on a record's file as another program would. */
function closedRecord(events: number): string {
  const folder = newFolder();
  const record = openedRecord({ folder });
  record.append(upTo(events).map(pressed));
  record.close();
  return folder;
}

describe('a folder that cannot hold a record', () => {
  test('because a file is in its place', () => {
    const file = join(newFolder(), 'taken');
    writeFileSync(file, '');
    expect(openingTrouble(file)).toMatchObject({ kind: 'unwritable' });
    const error = openingTrouble(join(file, 'below'));
    expect(error.kind).toBe('unwritable');
    expect(error.message).toContain(join(file, 'below'));
    expect(error.message).toContain('--data');
    expect(error.cause).toBeInstanceOf(Error);
  });

  test('because a record in this process writes there, and it is free once that is closed, however often', () => {
    const folder = newFolder();
    const first = openedRecord({ folder });
    const error = openingTrouble(folder);
    expect(error.kind).toBe('inUse');
    expect(error.message).toMatch(/being written by another process: stop that one/u);
    first.close();
    const second = openedRecord({ folder });
    first.close();
    expect(sequences(second.append([pressed(1)]))).toEqual([1]);
    expect(openingTrouble(folder).kind).toBe('inUse');
  });

  test.runIf(process.platform === 'linux')('because nothing can be written into it, whoever asks', () => {
    expect(openingTrouble('/proc').kind).toBe('unwritable');
  });

  test('because a folder is where the record belongs, and it is free again for whoever mends that', () => {
    const folder = newFolder();
    mkdirSync(join(folder, 'record.db'));
    expect(openingTrouble(folder).kind).toBe('unwritable');
    expect(openingTrouble(folder).kind).toBe('unwritable');
  });
});

describe('a file that is no record', () => {
  const STRANGE: readonly [string, (folder: string) => void, RecordTrouble][] = [
    [
      'because it is no database',
      (folder) => {
        writeFileSync(join(folder, 'record.db'), 'notes of last summer\n'.repeat(500));
      },
      'notARecord',
    ],
    [
      'because it is the database of another program',
      (folder) => {
        meddle(folder, 'CREATE TABLE notes (text TEXT)');
      },
      'notARecord',
    ],
    [
      'because another program marked it as its own',
      (folder) => {
        meddle(folder, 'PRAGMA application_id = 77');
      },
      'notARecord',
    ],
  ];
  test.each(STRANGE)('%s, and it stays as it is', (_, make, kind) => {
    const folder = newFolder();
    make(folder);
    const before = readFileSync(join(folder, 'record.db'));
    const error = openingTrouble(folder);
    expect(error.kind).toBe(kind);
    expect(error.message).toMatch(/record\.db is not a record: .*--data/u);
    expect(readFileSync(join(folder, 'record.db')).equals(before)).toBe(true);
  });

  test('of this version, because another one wrote it', () => {
    const folder = closedRecord(1);
    meddle(folder, 'PRAGMA user_version = 2');
    const error = openingTrouble(folder);
    expect(error.kind).toBe('notARecord');
    expect(error.message).toContain('another version');
  });

  test('because a folder is where its lock belongs', () => {
    const folder = newFolder();
    mkdirSync(join(folder, 'writer.lock'));
    expect(openingTrouble(folder).kind).toBe('unwritable');
  });

  test.runIf(process.platform === 'linux')('because its lock cannot be read', () => {
    const folder = newFolder();
    symlinkSync('/proc/self/mem', join(folder, 'writer.lock'));
    expect(openingTrouble(folder).kind).toBe('unwritable');
  });

  test('because its lock is something else', () => {
    const folder = newFolder();
    writeFileSync(join(folder, 'writer.lock'), 'a padlock\n'.repeat(500));
    const error = openingTrouble(folder);
    expect(error.kind).toBe('notARecord');
    expect(error.message).toMatch(/writer\.lock is not the lock of a record: move it away/u);
  });
});

describe('a damaged record', () => {
  test('is told of when it is opened: its tables are gone', () => {
    const folder = closedRecord(1);
    meddle(folder, 'DROP TABLE about');
    expect(openingTrouble(folder).kind).toBe('damaged');
  });

  test('is told of when it is opened: its beginning is gone', () => {
    const folder = closedRecord(1);
    meddle(folder, 'DELETE FROM about');
    expect(openingTrouble(folder).kind).toBe('damaged');
  });

  test('is told of when it is read: pages were overwritten', () => {
    const folder = closedRecord(3000);
    const path = join(folder, 'record.db');
    const file = openSync(path, 'r+');
    const noise = Buffer.alloc(statSync(path).size - 65_536, 0xa5);
    writeSync(file, noise, 0, noise.length, 65_536);
    closeSync(file);
    const error = troubleOf(() => {
      const record = openedRecord({ folder });
      for (let last = 0; last < 3000; last += 500) record.readAfter(last, 500);
    });
    expect(error.kind).toBe('damaged');
    expect(error.message).toContain(path);
  });

  test('is told of when it is read: an event is not what it was', () => {
    const folder = closedRecord(3);
    meddle(folder, "DROP TRIGGER events_stay; UPDATE events SET event = '{' WHERE sequence = 2");
    const record = openedRecord({ folder });
    expect(sequences(record.readAfter(2, 9))).toEqual([3]);
    expect(troubleOf(() => record.readAfter(0, 9)).kind).toBe('damaged');
  });
});

test('a stored event can neither be changed nor taken out', () => {
  const folder = closedRecord(2);
  expect(() => {
    meddle(folder, 'DELETE FROM events WHERE sequence = 1');
  }).toThrow('only added to');
  expect(() => {
    meddle(folder, "UPDATE events SET event = '{}'");
  }).toThrow('only added to');
});

describe('a disk that takes no more', () => {
  /** ABORT leaves the transaction open, as most errors do; ROLLBACK ends it, as a full disk does. */
  test.each(['ABORT', 'ROLLBACK'])('stores none of the facts, and all of them later (%s)', (kind) => {
    const folder = newFolder();
    const record = openedRecord({ folder });
    record.append([pressed(1)]);
    record.append([gas(2)]);
    const told: number[] = [];
    record.subscribe((events) => told.push(...sequences(events)));
    meddle(
      folder,
      `CREATE TRIGGER full BEFORE INSERT ON events WHEN NEW.sequence > 3
         BEGIN SELECT RAISE(${kind}, 'no room'); END`,
    );
    const error = troubleOf(() => record.append([pressed(3), pressed(4)]));
    expect(error.kind).toBe('notStored');
    expect(error.message).toContain('no room');
    expect([record.lastSequence(), told]).toEqual([2, []]);
    expect(sequences(record.readAfter(0, 9))).toEqual([1, 2]);

    meddle(folder, 'DROP TRIGGER full');
    expect(sequences(record.append([pressed(3), pressed(4)]))).toEqual([3, 4]);
    expect(record.readAfter(0, 9).map(({ data }) => data.atMs)).toEqual([1, 2, 3, 4]);
    expect(told).toEqual([3, 4]);
  });
});
