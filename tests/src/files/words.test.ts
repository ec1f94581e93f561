import { existsSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { gasAmount, packageRoot, quantity, suggestion, switchSchema } from '../../../src/files/index.ts';

describe('did you mean', () => {
  const WORDS = ['silent', 'self-failed', 'stuck', 'stuck-state'];

  test.each([
    ['silnt', 'did you mean "silent"?'],
    ['stuk', 'did you mean "stuck"?'],
    ['stuck_state', 'did you mean "stuck-state"?'],
    ['silent', 'did you mean "silent"?'],
    ['on fire', 'it takes silent, self-failed, stuck, stuck-state'],
    ['', 'it takes silent, self-failed, stuck, stuck-state'],
  ])('"%s": %s', (word, answer) => {
    expect(suggestion(word, WORDS)).toBe(answer);
  });

  test('no word is known here: leave it out', () => {
    expect(suggestion('anything', [])).toBe('leave it out');
  });

  test('finds a word again with one letter wrong, whichever letter', () => {
    fc.assert(
      fc.property(fc.constantFrom(...WORDS), fc.nat(), (word, at) => {
        const place = at % word.length;
        const mistyped = `${word.slice(0, place)}_${word.slice(place + 1)}`;
        expect(suggestion(mistyped, WORDS)).toBe(`did you mean "${word}"?`);
      }),
    );
  });
});

describe('a switch', () => {
  test.each(['on', 'yes', 'true', true])('is on when written %s', (written) => {
    expect(switchSchema.parse(written)).toBe(true);
  });

  test.each(['off', 'no', 'false', false])('is off when written %s', (written) => {
    expect(switchSchema.parse(written)).toBe(false);
  });

  test.each(['ON', 'maybe', '', 1, 0, null, undefined, {}, 'toString'])('is not written %s', (written) => {
    const checked = switchSchema.safeParse(written);
    expect(checked.error?.issues.map((issue) => issue.message)).toEqual(['takes on or off']);
  });
});

describe('a quantity in a file', () => {
  test('must be more than zero', () => {
    expect(quantity('time').parse('1 ms')).toBe(1);
    for (const written of ['0 s', '-1 s'])
      expect(quantity('time').safeParse(written).error?.issues[0]?.message).toBe('must be more than zero');
  });

  test('may be zero where that has a meaning, but never less', () => {
    const taken = quantity('time', { zeroToo: true });
    expect(taken.parse('0 s')).toBe(0);
    expect(taken.safeParse('-1 s').error?.issues[0]?.message).toBe('cannot be negative');
  });

  test('says why it is none', () => {
    expect(quantity('mass').safeParse(4.2).error?.issues[0]?.message).toMatch(/^4\.2 needs its unit/u);
    expect(gasAmount.safeParse(20).error?.issues[0]?.message).toMatch(/^20 needs its unit/u);
    expect(gasAmount.parse('20 %LFL')).toEqual({ value: 20, unit: '%LFL' });
  });
});

test('the package knows its own folder', () => {
  expect(existsSync(join(packageRoot(), 'src/files/package-root.ts'))).toBe(true);
});
