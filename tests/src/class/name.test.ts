import { describe, expect, test } from 'vitest';
import { NAME_LETTERS_MAX } from '../../../src/class/index.ts';
import { readName, sameName } from '../../../src/class/name.ts';

describe('a name', () => {
  test.each([
    ['Ann', 'Ann'],
    ['  Ann   Lee ', 'Ann Lee'],
    ['Zoe\u0308', 'Zoë'],
    ['Ann\u00A0Lee', 'Ann Lee'],
    ['👩‍🔧', '👩‍🔧'],
    ['7', '7'],
    ['=1+1', '=1+1'],
    ['é'.repeat(NAME_LETTERS_MAX), 'é'.repeat(NAME_LETTERS_MAX)],
    ['🔧'.repeat(NAME_LETTERS_MAX), '🔧'.repeat(NAME_LETTERS_MAX)],
  ])('%j reads %j', (written, name) => {
    expect(readName(written)).toBe(name);
  });

  test.each([
    '',
    ' ',
    '\n',
    'a\nb',
    'a\u0000',
    '\u200B',
    'a\u202Eb',
    '\u200D',
    '\uFEFFa\u2066',
    'x'.repeat(41),
    '\uD800',
  ])('%j is none', (written) => {
    expect(readName(written)).toBeNull();
  });

  test('is another than what differs in a letter', () => {
    expect(sameName('Ann', 'Anna')).toBe(false);
    expect(sameName('ANN', 'ann')).toBe(true);
  });
});
