/** What `record` says of records that are closed, spoilt, foreign or not there. */
import { closeSync, mkdirSync, openSync, readFileSync, statSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test, vi } from 'vitest';
import { type ExportOptions, recordExport } from '../../../../src/app/commands/record-export.ts';
import { recordList } from '../../../../src/app/commands/record-list.ts';
import { recordVerify } from '../../../../src/app/commands/record-verify.ts';
import { recordOrStop } from '../../../../src/app/record-or-stop.ts';
import { Stop } from '../../../../src/app/stop.ts';
import type { CloudEvent } from '../../../../src/events/index.ts';
import { openRecord } from '../../../../src/record/index.ts';
import { type Ended, freshFolder } from '../../../helpers/bench-process.ts';
import { readCsv } from '../../../helpers/csv.ts';
import { upTo } from '../../record/facts.ts';

/** As main does it, within this process. */
async function ended(act: () => unknown): Promise<Ended> {
  let stdout = '';
  const spy = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    stdout += String(text);
    return true;
  });
  const before = process.exitCode;
  try {
    await act();
    return { code: Number(process.exitCode ?? 0), stdout, stderr: '' };
  } catch (error) {
    if (!(error instanceof Stop)) throw error;
    return { code: error.exitCode, stdout, stderr: error.message };
  } finally {
    process.exitCode = before;
    spy.mockRestore();
  }
}

const list = (data: string): Promise<Ended> =>
  ended(() => {
    recordList({ data });
  });
const verify = (data: string): Promise<Ended> =>
  ended(() => {
    recordVerify({ data });
  });
const exported = (data: string, options: Partial<ExportOptions> = {}): Promise<Ended> =>
  ended(() => recordExport({ data, format: 'jsonl', after: 0, type: [], ...options }));
const linesOf = ({ stdout }: Ended): CloudEvent[] =>
  stdout
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as CloudEvent);

describe('a record that is closed', () => {
  let data: string;
  beforeAll(() => {
    data = freshFolder();
    let wallMs = Date.UTC(2026, 2, 1);
    const wallClock = (): number => (wallMs += 60_000);
    const written = openRecord({ folder: data, rigName: 'Tide Street', wallClock });
    const facts = upTo(2000).map(
      (n) => ({ id: 'bench.reset', atMs: n, fields: { reason: '=1+1' } }) as const,
    );
    for (const fact of facts.slice(0, 4)) written.append([fact]);
    written.append(facts.slice(4));
    written.close();
  });

  test('is exported in part, into a file too, and is what it was', async () => {
    const before = readFileSync(join(data, 'record.db'));
    const part = await exported(data, { after: 1998 });
    expect(linesOf(part).map(({ sequence }) => sequence)).toEqual([1999, 2000]);
    const out = join(freshFolder(), 'out.csv');
    const span = { from: '2026-03-01T00:02:00Z', to: '2026-03-01T00:04:00Z' };
    const saved = await exported(data, { format: 'csv', ...span, out });
    expect(saved).toMatchObject({ code: 0, stdout: '', stderr: '' });
    const rows = readCsv(readFileSync(out, 'utf8')).slice(1);
    expect(rows.map(([sequence]) => sequence)).toEqual(['2', '3']);
    expect(rows[0]?.at(-1)).toBe('{"reason":"=1+1"}');
    const listed = await list(data);
    expect(listed.stdout).toMatch(/rig +Tide Street\n +events +2000 \(notice 2000\)\n/u);
    expect(readFileSync(join(data, 'record.db')).equals(before)).toBe(true);
  });

  test.each<[Partial<ExportOptions>, RegExp]>([
    [{ type: ['mitigaton.changed'] }, /--type mitigaton\.changed: .*did you mean "mitigation\.changed"/u],
    [{ from: 'yesterday' }, /--from yesterday: it takes a date/u],
    [{ to: '2026-13-01' }, /--to 2026-13-01: it takes a date/u],
  ])('refuses %o', async (options, says) => {
    expect(await exported(data, options)).toEqual({
      code: 2,
      stdout: '',
      stderr: expect.stringMatching(says) as string,
    });
  });

  test('is never written over, and a file that cannot be written is said so', async () => {
    const before = readFileSync(join(data, 'record.db'));
    const over = await exported(data, { out: join(data, 'record.db') });
    expect([over.code, over.stderr]).toEqual([2, expect.stringContaining('name a file elsewhere')]);
    const nowhere = await exported(data, { out: join(freshFolder(), 'none/out.csv') });
    expect([nowhere.code, nowhere.stderr]).toEqual([3, expect.stringContaining('cannot be written')]);
    const full = await exported(data, { out: '/dev/full' });
    expect([full.code, full.stderr]).toEqual([3, expect.stringContaining('ENOSPC')]);
    expect(readFileSync(join(data, 'record.db')).equals(before)).toBe(true);
  });

  test('is told to be sound', async () => {
    expect(await verify(data)).toMatchObject({
      code: 0,
      stdout: expect.stringMatching(/is sound\n +sequence 1 to 2000/u) as string,
    });
  });

  test('and then spoilt is told to be so by all, as far as it goes, without a crash', async () => {
    const path = join(data, 'record.db');
    const file = openSync(path, 'r+');
    const noise = Buffer.alloc(statSync(path).size - 200_000, 0xa5);
    writeSync(file, noise, 0, noise.length, 200_000);
    closeSync(file);
    const [verified, listed, out] = [await verify(data), await list(data), await exported(data)];
    expect(verified.code).toBe(1);
    expect(verified.stdout).toMatch(/NOT sound\n.*\n +record\.db: the database is damaged/u);
    expect([listed.code, listed.stdout]).toEqual([3, expect.stringContaining('damaged')]);
    expect([out.code, out.stderr]).toEqual([3, expect.stringContaining('damaged')]);
  });
});

test('what is no record, or not there, is said so', async () => {
  const empty = freshFolder();
  const foreign = freshFolder();
  writeFileSync(join(foreign, 'record.db'), 'notes of last summer\n'.repeat(500));
  mkdirSync(join(empty, 'below'));
  const all = (data: string): Promise<Ended>[] => [list(data), verify(data), exported(data)];
  const found = [];
  for (const folder of [empty, foreign]) for (const one of all(folder)) found.push(await one);
  expect(found.map(({ code }) => code)).toEqual(Array.from({ length: 6 }, () => 3));
  const said = found.map(({ stdout, stderr }) => stdout + stderr);
  for (const text of said.slice(0, 3)) expect(text).toMatch(/There is no record in .*--data/u);
  for (const text of said.slice(3)) expect(text).toMatch(/record\.db is not a record/u);
});

test('a limit that is none is refused, with what it takes', async () => {
  const refused = (limit: string): Promise<Ended> => ended(() => recordOrStop(freshFolder(), 'R', limit));
  expect(await refused('1 MiB')).toMatchObject({
    code: 2,
    stderr: expect.stringContaining('64 MiB or more') as string,
  });
  expect(await refused('5')).toMatchObject({
    code: 2,
    stderr: expect.stringContaining('MiB, GiB, MB, GB') as string,
  });
});
