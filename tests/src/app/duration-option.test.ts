/** An option that takes a time says so in the same words, whichever it is. */
import { expect, test } from 'vitest';
import { durationOption } from '../../../src/app/duration-option.ts';

test('takes a time in milliseconds, and zero where that is one', () => {
  expect(durationOption('--for', '1.5 min')).toBe(90_000);
  expect(durationOption('--network', '0ms', 'zero')).toBe(0);
});

test.each([
  ['0s', 'above zero', 'it takes a time above zero, up to 24 days, such as 60s'],
  ['600 h', 'above zero', 'it takes a time above zero, up to 24 days, such as 60s'],
  ['600 h', 'zero', 'it takes a time from zero to 24 days, such as 60s'],
  ['5', 'zero', '5 needs its unit'],
] as const)('refuses %s (%s)', (written, least, says) => {
  expect(() => durationOption('--wait', written, least)).toThrow(`--wait ${written}: ${says}`);
});
