import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { newCode, readCode } from '../../../src/class/index.ts';

describe('a code', () => {
  test('is six signs of which none is taken for another, drawn one by one', () => {
    const draws = fc.array(fc.nat(), { minLength: 6, maxLength: 6 });
    fc.assert(
      fc.property(draws, (drawn) => {
        const left = [...drawn];
        const code = newCode((limit) => (left.shift() ?? 0) % limit);
        expect(left).toEqual([]);
        expect(code).toMatch(/^[3479ACDEFHJKMNPRTVWXY6]{6}$/u);
        expect(readCode(code)).toBe(code);
      }),
    );
  });

  test('may have every sign at every place', () => {
    const limits: number[] = [];
    newCode((limit) => limits.push(limit) - 1);
    expect(limits).toEqual([22, 22, 22, 22, 22, 22]);
    const all = new Set(Array.from({ length: 22 }, (_, sign) => newCode(() => sign)[0]));
    expect(all.size).toBe(22);
  });

  test.each([
    ['acdefh', 'ACDEFH'],
    [' ac-de fh ', 'ACDEFH'],
    ['ACDEF', null],
    ['ACDEFHH', null],
    ['ACDEF0', null],
    ['', null],
    ['ACDEFÉ', null],
  ])('written %j reads %j', (written, code) => {
    expect(readCode(written)).toBe(code);
  });
});
