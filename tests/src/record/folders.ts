/** Records in folders of their own, gone when the test is over. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { type EventRecord, openRecord, type RecordOptions } from '../../../src/record/index.ts';

export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'leakbench-record-'));
  onTestFinished(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  return folder;
}

export function openedRecord(options: Partial<RecordOptions> = {}): EventRecord {
  const record = openRecord({ folder: newFolder(), rigName: 'Tide Street', ...options });
  onTestFinished(() => {
    record.close();
  });
  return record;
}
