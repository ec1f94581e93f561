/** A replacement as it is asked for, and the file that takes another's place. */
import {
  chmodSync,
  lstatSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { prepare, readOriginal } from '../../../../src/app/roster/new-text.ts';
import { type Asked, replacing } from '../../../../src/app/roster/replacement.ts';
import { EXIT, Stop } from '../../../../src/app/stop.ts';
import { rigOf, sensorWith } from '../../rig/rig-text.ts';
import { RIG, TODAY } from './rosters.ts';

function problemOf(act: () => unknown): Stop {
  try {
    act();
  } catch (error) {
    if (error instanceof Stop) return error;
    throw error;
  }
  throw new Error('nothing was said');
}

describe('a replacement', () => {
  test('is of today unless a day is named', () => {
    expect(replacing(RIG, 'old', { serial: '9' }, TODAY)).toMatchObject({
      index: 0,
      installed: TODAY,
      made: null,
    });
    const asked = { serial: '9', installed: '2026-11-20', made: '2026-11-20' };
    expect(replacing(RIG, 'grille', asked, TODAY)).toMatchObject({ index: 4, installed: '2026-11-20' });
  });

  test.each<readonly [string, Asked, string]>([
    ['oldd', { serial: '9' }, 'has no sensor "oldd"; did you mean "old"?'],
    ['old', { serial: '1' }, 'old has this serial already'],
    ['old', { serial: 'G' }, '--serial G is grille in '],
    ['old', { serial: '9', installed: '2026-11-27' }, '--installed 2026-11-27 is still to come'],
    ['old', { serial: '9', made: '2026-11-27' }, '--made 2026-11-27 is still to come'],
    [
      'old',
      { serial: '9', installed: '2026-02-29' },
      '--installed 2026-02-29: it takes a day, such as 2026-11-26',
    ],
    ['old', { serial: '9', installed: 'yesterday' }, 'it takes a day'],
    [
      'old',
      { serial: '9', installed: '2026-11-01', made: '2026-11-02' },
      'before the part was made, 2026-11-02',
    ],
    [
      'old',
      { serial: '9', installed: '2011-05-01' },
      'before the part that it replaces was installed, 2011-05-02',
    ],
  ])('of %s as %o is refused', (id, asked, said) => {
    const problem = problemOf(() => replacing(RIG, id, asked, TODAY));
    expect(problem.exitCode).toBe(EXIT.usage);
    expect(problem.message).toContain(said);
  });

  test('of a sensor whose age is told outright is refused: two would tell it', () => {
    const rig = rigOf(sensorWith('unitId: 11, age: 6 years'));
    const { message } = problemOf(() => replacing(rig, 'coil-a', { serial: '9' }, TODAY));
    expect(message).toContain('delete its key age');
  });
});

describe('a text that takes the place of a file', () => {
  const fresh = (text: string | Buffer) => {
    const folder = mkdtempSync(join(tmpdir(), 'leakbench-new-text-'));
    const file = join(folder, 'a.rig.yaml');
    writeFileSync(file, text);
    return { folder, file };
  };

  test('keeps its mode, and a link to it, and leaves nothing beside it', () => {
    const { folder, file } = fresh('old');
    const link = join(folder, 'link.yaml');
    chmodSync(file, 0o640);
    symlinkSync(file, link);
    const original = readOriginal(link);
    prepare(original, 'new').takePlace();
    expect(readFileSync(file, 'utf8')).toBe('new');
    expect(statSync(file).mode & 0o777).toBe(0o640);
    expect(lstatSync(link).isSymbolicLink()).toBe(true);
    expect(readdirSync(folder).sort()).toEqual(['a.rig.yaml', 'link.yaml']);
  });

  test('is another file under the same name: who reads the old one reads it to its end', () => {
    const { file } = fresh('old');
    const before = statSync(file).ino;
    prepare(readOriginal(file), 'new').takePlace();
    expect(statSync(file).ino).not.toBe(before);
  });

  test('does nothing until it takes the place, and nothing remains of one that is given up', () => {
    const { folder, file } = fresh('old');
    const given = prepare(readOriginal(file), 'new');
    expect(readFileSync(file, 'utf8')).toBe('old');
    given.discard();
    expect(readdirSync(folder)).toEqual(['a.rig.yaml']);
  });

  test('does not write over what somebody else wrote meanwhile', () => {
    const { folder, file } = fresh('old');
    const ready = prepare(readOriginal(file), 'new');
    writeFileSync(file, 'theirs');
    expect(
      problemOf(() => {
        ready.takePlace();
      }).message,
    ).toContain('was changed meanwhile: run this again');
    expect(readFileSync(file, 'utf8')).toBe('theirs');
    expect(readdirSync(folder)).toEqual(['a.rig.yaml']);
  });

  test('is refused where the folder takes no file', () => {
    const { folder, file } = fresh('old');
    const original = readOriginal(file);
    const problem = problemOf(() => prepare({ ...original, path: join(folder, 'gone', 'a.yaml') }, 'new'));
    expect(problem).toMatchObject({
      exitCode: EXIT.surroundings,
      message: expect.stringContaining('cannot be written') as string,
    });
  });

  test('is refused for a file that is not all UTF-8, of which bytes would be lost', () => {
    const { file } = fresh(Buffer.from([0x61, 0xff, 0x0a]));
    expect(problemOf(() => readOriginal(file))).toMatchObject({
      exitCode: EXIT.usage,
      message: expect.stringContaining('not all UTF-8') as string,
    });
  });
});
