/** A file system of its own for the record, so small that it fills up, or made read-only: no stand-ins. */
import { execFileSync, spawnSync } from 'node:child_process';
import { copyFileSync, readdirSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { openReader, openRecord, RecordError, verifyRecord } from '../../../src/record/index.ts';
import { gas, pressed, sequences, upTo } from './facts.ts';
import { newFolder, openedRecord } from './folders.ts';

/** Only who administers a machine may mount. */
const canMount = spawnSync('unshare', ['--mount', 'mount', '-t', 'tmpfs', 'tmpfs', '/mnt']).status === 0;

const BALLAST_BYTES = 1.5 * 1024 ** 2;

function smallDisk(size: string): string {
  const folder = newFolder();
  execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${size}`, 'tmpfs', folder]);
  onTestFinished(() => {
    execFileSync('umount', ['--lazy', folder]);
  });
  return folder;
}

/** The same folder once more, where it cannot be written. */
function readOnly(folder: string): string {
  const view = newFolder();
  execFileSync('mount', ['--bind', folder, view]);
  onTestFinished(() => {
    execFileSync('umount', ['--lazy', view]);
  });
  execFileSync('mount', ['-o', 'remount,bind,ro', view]);
  return view;
}

function kindOf(act: () => unknown): string {
  try {
    act();
  } catch (error) {
    if (error instanceof RecordError) return error.kind;
    throw error;
  }
  return 'done';
}

test.runIf(canMount)(
  'on a full disk nothing is half stored, nothing told is lost, and it goes on when there is room',
  () => {
    const folder = smallDisk('3m');
    const ballast = join(folder, 'ballast');
    const record = openedRecord({ folder });
    const told: number[] = [];
    record.subscribe((events) => told.push(...sequences(events)));
    record.append([pressed(1)]);
    writeFileSync(ballast, Buffer.alloc(BALLAST_BYTES));
    for (let time = 0; time < 3; time += 1) {
      const fill = (): unknown => record.append(upTo(100).map(time % 2 === 0 ? pressed : gas));
      while (kindOf(fill) === 'done') expect(record.trouble()).toBeNull();
      expect(kindOf(fill)).toBe('notStored');
      expect(record.trouble()).toMatch(/has room/u);
      const last = record.lastSequence();
      expect(told).toEqual(upTo(last));
      expect(sequences(record.readAfter(last - 3, 9))).toEqual(upTo(last, last - 3));
      truncateSync(ballast, (BALLAST_BYTES * (2 - time)) / 3);
      expect(sequences(record.append([pressed(1), pressed(2)]))).toEqual([last + 1, last + 2]);
    }
    expect(verifyRecord(folder)).toMatchObject({ last: told.length, unsound: [] });
    record.close();
    expect(openedRecord({ folder }).lastSequence()).toBe(told.length);
  },
);

test.runIf(canMount)(
  'a record at its limit on a disk that has no room for the next file goes on in time',
  () => {
    const folder = smallDisk('3m');
    const ballast = join(folder, 'ballast');
    const options = { folder, limitBytes: 2 * 1024 ** 2 };
    const record = openedRecord(options);
    const fill = (): unknown => record.append(upTo(50).map(pressed));
    for (let n = 0; n < 30; n += 1) fill();
    for (const size of [2200, 2500, 2700, 2900]) {
      try {
        writeFileSync(ballast, Buffer.alloc(size * 1024));
      } catch {
        // As much as there was room for.
      }
      for (let n = 0; n < 8; n += 1) expect(['done', 'notStored']).toContain(kindOf(fill));
      rmSync(ballast);
      for (let n = 0; n < 8; n += 1) expect(kindOf(fill)).toBe('done');
      expect(verifyRecord(folder)).toMatchObject({ last: record.lastSequence(), unsound: [] });
    }
  },
);

test.runIf(canMount)('a folder that is read-only is not written to, and its record can be read', () => {
  const folder = newFolder();
  const view = readOnly(folder);
  expect(kindOf(() => openRecord({ folder: view, rigName: 'R' }))).toBe('unwritable');
  const record = openedRecord({ folder });
  record.append([pressed(1), pressed(2)]);
  record.close();
  expect(kindOf(() => openRecord({ folder: view, rigName: 'R' }))).toBe('unwritable');
  const reader = openReader(view);
  expect(sequences([...reader.events(0)])).toEqual([1, 2]);
  reader.close();
  expect(verifyRecord(view).unsound).toEqual([]);
});

test.runIf(canMount)(
  'a record that was killed is not read in part where its log cannot be looked into',
  () => {
    const killed = newFolder();
    const folder = newFolder();
    openedRecord({ folder: killed }).append([pressed(1), pressed(2)]);
    // As a kill leaves them: the log beside the file holds what is not in it yet.
    for (const name of readdirSync(killed)) copyFileSync(join(killed, name), join(folder, name));
    rmSync(join(folder, 'record.db-shm'));
    expect(kindOf(() => openReader(readOnly(folder)))).toBe('unreadable');
    const reader = openReader(folder);
    expect(sequences([...reader.events(0)])).toEqual([1, 2]);
    reader.close();
  },
);
