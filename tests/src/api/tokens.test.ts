import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { roleOf, type Tokens, tokensFrom } from '../../../src/api/tokens.ts';
import { packageRoot } from '../../../src/files/index.ts';

function good(...list: string[]): Tokens {
  const outcome = tokensFrom(list);
  if (!outcome.ok) throw new Error(outcome.problem);
  return outcome.tokens;
}

function refused(...list: string[]): string {
  const outcome = tokensFrom(list);
  if (outcome.ok) throw new Error('it was taken');
  return outcome.problem;
}

describe('tokens', () => {
  test.each(['src/api/tokens.ts', 'src/app/class/class-room.ts'])(
    'and codes and keys are compared in constant time alone, in %s',
    (file) => {
      // How long a comparison takes cannot be tested on a busy machine; that no other is written can.
      const source = readFileSync(join(packageRoot(), file), 'utf8');
      expect(source).toMatch(/timingSafeEqual\(/u);
      expect(source).not.toMatch(
        /digest\w*(?:\([^)]*\))?(?: ===| !==|\.compare\()|\bpresented ===|\bkey ===/iu,
      );
      const equals = source.match(/\.equals\(/gu) ?? [];
      // Two tokens of the command line, told apart before anybody may ask.
      expect(equals.length).toBe(file.endsWith('tokens.ts') ? 1 : 0);
    },
  );

  test('are none where none is given', () => {
    expect(good()).toEqual([]);
  });

  test('give an instructor by their value alone, a viewer by "viewer:" before it', () => {
    const tokens = good('teach-12345', 'viewer:watch-12345', 'teach-67890=');
    expect(roleOf(tokens, 'teach-12345')).toBe('instructor');
    expect(roleOf(tokens, 'teach-67890=')).toBe('instructor');
    expect(roleOf(tokens, 'watch-12345')).toBe('viewer');
  });

  test.each(['', 'teach-1234', 'teach-123456', 'viewer:watch-12345', 'TEACH-12345'])(
    'give no role to %j, which is none of them',
    (presented) => {
      expect(roleOf(good('teach-12345', 'viewer:watch-12345'), presented)).toBeNull();
    },
  );

  test.each([
    '',
    'viewer:',
    'short',
    'viewer:short',
    'with space in it',
    'with:colon:in',
    'ümlaut-token',
    '=====-12345',
  ])('cannot be %j: RFC 6750 section 2.1 has no such bearer token, or it could be guessed', (text) => {
    expect(refused(text)).toMatch(/^The token takes/u);
  });

  test('are told apart in a problem without being shown', () => {
    const problem = refused('teach-12345', 'bad secret');
    expect(problem).toMatch(/^Token 2 /u);
    expect(problem).not.toContain('secret');
  });

  test('cannot give two roles at once', () => {
    const problem = refused('teach-12345', 'viewer:teach-12345');
    expect(problem).toMatch(/^Token 2 was given before/u);
    expect(problem).not.toContain('teach');
  });

  test('are kept as digests alone', () => {
    expect(JSON.stringify(good('teach-12345'))).not.toContain('teach');
  });
});
