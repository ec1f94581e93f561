/** Records of one file or three, and what spoils them. */
import { closeSync, openSync, writeSync } from 'node:fs';
import { basename } from 'node:path';
import type { Fact } from '../../../src/events/index.ts';
import { type Segment, segmentsIn } from '../../../src/record/segments.ts';
import { pressed, upTo } from './facts.ts';
import { newFolder, openedRecord } from './folders.ts';
import { meddle } from './meddle.ts';

/** Three files of 2,000 events each, the last one still small. */
export function threeFiles(): string {
  const folder = newFolder();
  const record = openedRecord({ folder, limitBytes: 8 * 1024 ** 2 });
  while (segmentsIn(folder).length < 3) record.append(upTo(200).map(pressed));
  record.close();
  return folder;
}

export function recordOf(facts: readonly Fact[]): string {
  const folder = newFolder();
  const record = openedRecord({ folder });
  record.append(facts);
  record.close();
  return folder;
}

/** Events stay as they are but for this. */
export function tamper(folder: string, sql: string, file?: string): void {
  meddle(folder, `DROP TRIGGER events_stay; DROP TRIGGER events_remain; ${sql}`, file);
}

export function overwrite(path: string, from: number, length: number): void {
  const file = openSync(path, 'r+');
  writeSync(file, Buffer.alloc(length, 0xa5), 0, length, from);
  closeSync(file);
}

export function nameOf(segment: Segment | undefined): string {
  return basename(segment?.path ?? 'there is none');
}
