/**
 * Malformed files, kept as data in tests/data/malformed: what is wrong, the text, and all that is said of it.
 * Most are a sound file with one thing replaced.
 */
import { copyFileSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'yaml';
import { type FileProblem, formatProblem, packageRoot } from '../../src/files/index.ts';

export const DATA = join(packageRoot(), 'tests/data/malformed');

/** One of: a text; a text many times over; a change to the sound file of its kind. */
export interface Malformed {
  readonly of: string;
  readonly text?: string;
  readonly repeat?: {
    readonly text: string;
    readonly times: number;
    readonly before?: string;
    readonly after?: string;
  };
  /** Two texts: all from the first up to the second. */
  readonly from?: string | readonly [string, string];
  readonly to?: string;
  /** How it stands on disk, where that is not UTF-8. */
  readonly encoding?: Encoding;
  /** "LINE:COLUMN: sentence" of each problem, with "FILE:" before it where that is another. */
  readonly says: readonly string[];
}

type Encoding = 'latin1' | 'utf-16' | 'utf-16 with mark' | 'utf-16 swapped' | 'utf-8 cut short';

export type Kind = 'rig' | 'drill' | 'profile';

export interface Group {
  readonly kind: Kind;
  readonly cases: readonly Malformed[];
}

/** By the names of their files. */
export function malformedFiles(): ReadonlyMap<string, Group> {
  const files = readdirSync(DATA).filter((file) => file.endsWith('.cases.yaml'));
  return new Map(files.map((file) => [file, parse(readFileSync(join(DATA, file), 'utf8')) as Group]));
}

const SOUND = ['rig', 'drill', 'profile'].map((kind) => `sound.${kind}.yaml`);

/** A folder with the sound files, for the broken ones to name. */
export function folderOfSound(): string {
  const folder = mkdtempSync(join(tmpdir(), 'leakbench-malformed-'));
  for (const file of SOUND) copyFileSync(join(DATA, file), join(folder, file));
  return folder;
}

/** Writes it, and tells its path. */
export function written(malformed: Malformed, kind: Kind, folder: string, name = 'case'): string {
  const file = join(folder, `${name}.yaml`);
  writeFileSync(file, encoded(textOf(malformed, kind), malformed.encoding));
  return file;
}

function textOf({ text, repeat, from, to = '' }: Malformed, kind: Kind): string {
  if (text !== undefined) return text;
  if (repeat !== undefined) {
    return (repeat.before ?? '') + repeat.text.repeat(repeat.times) + (repeat.after ?? '');
  }
  const sound = readFileSync(join(DATA, `sound.${kind}.yaml`), 'utf8');
  if (from === undefined) return sound;
  const [first, end] = typeof from === 'string' ? [from, null] : from;
  const pieces = sound.split(first);
  if (pieces.length !== 2) throw new Error(`"${first}" stands ${pieces.length - 1} times in the sound file`);
  const [before = '', after = ''] = pieces;
  return before + to + (end === null ? after : after.slice(after.indexOf(end)));
}

function encoded(text: string, encoding: Encoding | undefined): Buffer {
  switch (encoding) {
    case undefined:
      return Buffer.from(text);
    case 'latin1':
      return Buffer.from(text, 'latin1');
    case 'utf-16':
      return Buffer.from(text, 'utf16le');
    case 'utf-16 with mark':
      return Buffer.from(`\u{feff}${text}`, 'utf16le');
    case 'utf-16 swapped':
      return Buffer.from(`\u{feff}${text}`, 'utf16le').swap16();
    case 'utf-8 cut short':
      return Buffer.from(text).subarray(0, -1);
  }
}

/** As the data has it: without the folder, and without the file where it is the case itself. */
export function told(problem: FileProblem, file: string, folder: string): string {
  return formatProblem(problem).replace(`${file}:`, '').replace(`${folder}/`, '');
}
