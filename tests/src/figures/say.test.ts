import { describe, expect, test } from 'vitest';
import { amount, amountText, shown, wordsText } from '../../../src/figures/index.ts';

/** Factors: pound and foot of 1959, by definition. */
test.each([
  [amount(0.45359237, 'mass'), '0.4536 kg', '1 lb'],
  [amount(4.2, 'mass'), '4.2 kg', '9.259 lb'],
  [amount(10, 'massRate'), '10 kg/h', '22.05 lb/h'],
  [amount(24, 'area'), '24 m2', '258.3 ft2'],
  [amount(2.5, 'length'), '2.5 m', '8.202 ft'],
  [amount(60, 'volume'), '60 m3', '2119 ft3'],
  [amount(900, 'airflow'), '900 m3/h', '529.7 cfm'],
  [amount(0.307, 'concentration'), '0.307 kg/m3', '19.17 lb/1000ft3'],
  [amount(36_093.4, 'ppm'), '36093 ppm', '36093 ppm'],
  [amount(0.5, 'number'), '0.5', '0.5'],
])('%j reads %s, or %s', (one, si, ip) => {
  expect(amountText(one, 'si')).toBe(si);
  expect(amountText(one, 'ip')).toBe(ip);
});

describe('a sentence', () => {
  test('is said in the units asked for', () => {
    expect(wordsText(['leaks ', amount(2, 'mass'), ' in all'], 'ip')).toBe('leaks 4.409 lb in all');
  });

  test('rounds what is shown, never what is given on', () => {
    expect(shown(amount(1.23456789, 'mass'), 'si')).toEqual({ value: 1.23456789, unit: 'kg' });
  });
});
