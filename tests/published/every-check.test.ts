/** Counts the checks of this folder, so that none is left out silently. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import ts from 'typescript';
import { describe, expect, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { HOW_SURE } from '../../src/refrigerant/index.ts';
import { CHECK_IDS } from './ids.ts';

const FOLDER = join(packageRoot(), 'tests/published');
const TITLE = new RegExp(`^figure-check (\\S+) \\((.+); (?:${HOW_SURE.join('|')})\\): \\S`, 'u');

interface Check {
  /** What is called: "test", "test.each", "test.skip" … */
  readonly by: string;
  readonly title: string;
}

/** Titles of all tests of a file, read off its syntax: a comment or a string elsewhere does not count. */
function checksIn(file: string): readonly Check[] {
  const source = ts.createSourceFile(
    file,
    readFileSync(join(FOLDER, file), 'utf8'),
    ts.ScriptTarget.Latest,
    true,
  );
  const found: Check[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isCallExpression(node)) {
      const [title] = node.arguments;
      const by = node.expression.getText(source).replace(/\((?:.|\n)*/u, '');
      if (title !== undefined && ts.isStringLiteralLike(title) && /^(?:test|it|describe)\b/u.test(by)) {
        if (title.text.startsWith('figure-check')) found.push({ by, title: title.text });
      }
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

const CHECKS = readdirSync(FOLDER)
  .filter((file) => file.endsWith('.test.ts'))
  .flatMap(checksIn);

describe('the checks against published values', () => {
  test.each(CHECK_IDS)('%s is a test', (id) => {
    expect(CHECKS.filter(({ title }) => TITLE.exec(title)?.[1] === id)).not.toEqual([]);
  });

  test('each name an id of the list, their source, and how sure we are of it', () => {
    const ids: readonly string[] = CHECK_IDS;
    expect(CHECKS.filter(({ title }) => !ids.includes(TITLE.exec(title)?.[1] ?? ''))).toEqual([]);
  });

  test('are all run: none is skipped, left for later, or expected to fail', () => {
    expect(CHECKS.filter(({ by }) => by !== 'test' && by !== 'test.each')).toEqual([]);
  });

  test('are as many as the list was made with', () => {
    expect(CHECK_IDS).toHaveLength(28);
    expect(new Set(CHECK_IDS).size).toBe(28);
  });
});
