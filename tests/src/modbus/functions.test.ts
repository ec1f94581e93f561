import { describe, expect, test } from 'vitest';
import { FUNCTIONS, functionRow } from '../../../src/modbus/index.ts';
import { hexOf } from './vectors.ts';

describe('the function table', () => {
  test('keeps each row under its own code', () => {
    for (const [key, row] of Object.entries(FUNCTIONS)) expect(row.code).toBe(Number(key));
  });

  test('has the limits that MB-APP section 6 prints in hexadecimal', () => {
    const limits = Object.values(FUNCTIONS).flatMap((row) =>
      row.shape === 'identify' ? [] : [[row.code, row.quantityMax.toString(16)]],
    );
    expect(limits).toEqual([
      [0x01, '7d0'],
      [0x02, '7d0'],
      [0x03, '7d'],
      [0x04, '7d'],
      [0x05, '1'],
      [0x06, '1'],
      [0x0f, '7b0'],
      [0x10, '7b'],
      [0x16, '1'],
      [0x17, '7d'],
    ]);
    expect(FUNCTIONS[0x17].writeQuantityMax.toString(16)).toBe('79');
  });

  test('knows eleven functions of 256, and no other', () => {
    const known = Array.from({ length: 256 }, (_, code) => code).filter(
      (code) => functionRow(code) !== undefined,
    );
    expect(hexOf(Uint8Array.from(known))).toBe('01 02 03 04 05 06 0F 10 16 17 2B');
  });
});
