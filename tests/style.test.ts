/** The numbers we hold our own source to, counted. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import ts from 'typescript';
import { describe, expect, test } from 'vitest';
import { packageRoot } from '../src/files/index.ts';

const ROOT = packageRoot();
const LINES_MAX = 300;
const COLUMNS_MAX = 110;
const COMMENT_SHARE_MIN = 0.15;
const COMMENT_SHARE_MAX = 0.35;
const CORES = [
  'src/units',
  'src/refrigerant',
  'src/modbus',
  'src/poll',
  'src/belief',
  'src/mitigation',
  'src/class',
  'src/lesson',
  'sim/gas',
  'sim/device',
  'sim/equipment',
  'sim/judge',
];

function filesIn(folder: string): readonly string[] {
  return readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.(ts|tsx|css|yaml)$/u.test(file))
    .map((file) => join(folder, file));
}

const read = (file: string): string => readFileSync(join(ROOT, file), 'utf8');
const SOURCE = [...filesIn('src'), ...filesIn('sim')];
const CODE = SOURCE.filter((file) => /\.tsx?$/u.test(file));

test('there is source to count', () => {
  expect(CODE.length).toBeGreaterThan(100);
});

test(`a file has at most ${LINES_MAX} lines`, () => {
  expect(CODE.filter((file) => read(file).split('\n').length > LINES_MAX + 1)).toEqual([]);
});

test(`a line has at most ${COLUMNS_MAX} characters`, () => {
  const long = CODE.flatMap((file) =>
    read(file)
      .split('\n')
      .flatMap((line, index) =>
        line.length > COLUMNS_MAX && !isOneText(line) ? [`${file}:${index + 1}`] : [],
      ),
  );
  expect(long).toEqual([]);
});

/** A sentence for people is not cut in two to please a ruler: its text does not count. */
function isOneText(line: string): boolean {
  return line.replace(/'[^']*'|`[^`]*`/gu, '').length <= COLUMNS_MAX && /['`]/u.test(line);
}

test('a function has at most 70 lines: eslint still says so', () => {
  expect(read('eslint.config.js')).toMatch(/'max-lines-per-function': \['error', \{ max: 70 \}\]/u);
});

test('nothing is left to do, and nothing is switched off', () => {
  const marks = /\b(?:TODO|FIXME|XXX)\b|@ts-(?:ignore|nocheck|expect-error)|eslint-disable/u;
  expect(CODE.filter((file) => marks.test(read(file)))).toEqual([]);
});

describe.each(CORES)('%s', (folder) => {
  test('says why in comments, neither too seldom nor too often', () => {
    const files = filesIn(folder).filter((file) => file.endsWith('.ts') && !file.endsWith('index.ts'));
    const counts = files.map((file) => commentLines(read(file)));
    const comments = counts.reduce((sum, one) => sum + one.comments, 0);
    const lines = counts.reduce((sum, one) => sum + one.lines, 0);
    expect(comments / lines).toBeGreaterThanOrEqual(COMMENT_SHARE_MIN);
    expect(comments / lines).toBeLessThanOrEqual(COMMENT_SHARE_MAX);
  });
});

/** Lines that hold a comment, of all that are not blank. */
function commentLines(text: string): { readonly comments: number; readonly lines: number } {
  const file = ts.createSourceFile('counted.ts', text, ts.ScriptTarget.Latest);
  const scanner = ts.createScanner(ts.ScriptTarget.Latest, false, ts.LanguageVariant.Standard, text);
  const commented = new Set<number>();
  for (let kind = scanner.scan(); kind !== ts.SyntaxKind.EndOfFileToken; kind = scanner.scan()) {
    if (kind !== ts.SyntaxKind.MultiLineCommentTrivia && kind !== ts.SyntaxKind.SingleLineCommentTrivia)
      continue;
    const from = file.getLineAndCharacterOfPosition(scanner.getTokenStart()).line;
    const to = file.getLineAndCharacterOfPosition(scanner.getTokenEnd()).line;
    for (let line = from; line <= to; line += 1) commented.add(line);
  }
  const lines = text.split('\n').filter((line) => line.trim() !== '').length;
  return { comments: commented.size, lines };
}
