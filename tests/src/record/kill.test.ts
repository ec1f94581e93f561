/**
 * A writer that is killed with SIGKILL, as the out-of-memory killer or a person does it. What this cannot
 * show is a power cut: for that the record relies on SQLite's synchronous FULL.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { expect, onTestFinished, test } from 'vitest';
import { openRecord, READ_EVENTS_MAX, RecordError } from '../../../src/record/index.ts';
import { bundled } from '../../helpers/bundled.ts';
import { pressed, sequences, upTo } from './facts.ts';
import { newFolder, openedRecord } from './folders.ts';

const hasStrace = spawnSync('strace', ['-V']).status === 0;
/** Process, system call, file, the rest. */
const CALL = /^\d+ +(pwrite64|fdatasync|fsync|write)\(\d+<([^>]*)>(?:, )?(.*)$/gmu;
const APPENDER = bundled('appender', 'tests/src/record/appender.ts');

interface Appender {
  readonly child: ChildProcess;
  /** The last sequence that it was told is stored. */
  readonly acknowledged: () => number;
}

/** Starts a writer and waits until it has said so many lines. */
async function appender(folder: string, lines: number, limitBytes = 1024 ** 3): Promise<Appender> {
  const child = spawn(process.execPath, [APPENDER, folder, String(limitBytes)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  onTestFinished(() => {
    child.kill('SIGKILL');
  });
  let said = 0;
  let last = 0;
  const reader = createInterface({ input: child.stdout });
  await new Promise<void>((resolve, reject) => {
    reader.on('line', (line) => {
      last = Number(line);
      said += 1;
      if (said === lines) resolve();
    });
    reader.on('close', () => {
      reject(new Error(`the writer ended after ${said} lines`));
    });
  });
  return { child, acknowledged: () => last };
}

async function kill({ child, acknowledged }: Appender): Promise<number> {
  const closed = new Promise((resolve) => child.on('close', resolve));
  child.kill('SIGKILL');
  await closed;
  return acknowledged();
}

/** With the second the writer is in the middle of a change of files most of the time. */
test.each([
  ['that grows', 1024 ** 3, [1, 13, 60, 200]],
  ['at its limit', 256 * 1024, [2, 9]],
])(
  'every acknowledged event is there after a kill, without a gap, in a record %s',
  async (_, limitBytes, ends) => {
    const folder = newFolder();
    for (const lines of ends) {
      const acknowledged = await kill(await appender(folder, lines, limitBytes));
      const record = openedRecord({ folder, limitBytes });
      const last = record.lastSequence();
      expect(last).toBeGreaterThanOrEqual(acknowledged);
      for (let after = record.firstSequence() - 1; after < last; after += READ_EVENTS_MAX) {
        const page = sequences(record.readAfter(after, READ_EVENTS_MAX));
        expect(page).toEqual(upTo(Math.min(last, after + READ_EVENTS_MAX), after));
      }
      expect(sequences(record.append([pressed(0)])).at(-1)).toBeGreaterThan(last);
      record.close();
    }
  },
);

/** What a power cut would show cannot be had; that the kernel was asked to write through, can. */
test.runIf(hasStrace)(
  'what is acknowledged was synced to the disk before, whatever went into the log',
  async () => {
    const calls = join(newFolder(), 'calls');
    const traced = ['-f', '-y', '-o', calls, '-e', 'trace=pwrite64,fdatasync,fsync,write', process.execPath];
    const child = spawn('strace', [...traced, APPENDER, newFolder(), '9e9'], {
      stdio: ['ignore', 'pipe', 'inherit'],
      detached: true,
    });
    const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
    for (let line = 0; line < 20; line += 1) await lines.next();
    process.kill(-(child.pid ?? 0), 'SIGKILL');
    const unsynced = new Set<string>();
    let acknowledged = 0;
    let synced = 0;
    for (const [, call = '', file = '', rest = ''] of readFileSync(calls, 'utf8').matchAll(CALL)) {
      if (call === 'pwrite64' && file.endsWith('-wal')) unsynced.add(file);
      else if (call.endsWith('sync')) synced += unsynced.delete(file) ? 1 : 0;
      else if (/^"\d+\\n"/u.test(rest)) {
        acknowledged += 1;
        expect([...unsynced], `acknowledged with line ${acknowledged}`).toEqual([]);
      }
    }
    expect(acknowledged).toBeGreaterThanOrEqual(20);
    expect(synced).toBeGreaterThanOrEqual(20);
  },
);

test('a second writer is refused while the first one lives, in another process', async () => {
  const folder = newFolder();
  const first = await appender(folder, 1);
  try {
    openRecord({ folder, rigName: 'R' });
    expect.unreachable('two processes write to one record');
  } catch (error) {
    expect(error).toBeInstanceOf(RecordError);
    expect(error).toMatchObject({ kind: 'inUse' });
    expect(String(error)).toContain(folder);
  }
  await kill(first);
  expect(openedRecord({ folder }).lastSequence()).toBeGreaterThan(0);
});

test('a second writer is refused in the same process too, and let in once the first has closed', () => {
  const folder = newFolder();
  const first = openedRecord({ folder });
  expect(() => openRecord({ folder, rigName: 'R' })).toThrow(RecordError);
  expect(sequences(first.append([pressed(1)]))).toEqual([1]);
  first.close();
  expect(openedRecord({ folder }).lastSequence()).toBe(1);
});
