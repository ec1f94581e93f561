import { describe, expect, test } from 'vitest';
import { byteAt, isU16, packedBytes, putValue, u16At, valueAt } from '../../../src/modbus/bytes.ts';

describe('bytes of the wire', () => {
  test('are big-endian for registers (MB-APP 4.2: 0x1234 is sent 12 34)', () => {
    expect(u16At(Uint8Array.of(0x12, 0x34), 0)).toBe(0x1234);
  });

  test('cannot be read past their end', () => {
    expect(() => byteAt(Uint8Array.of(1, 2), 2)).toThrow(RangeError);
    expect(() => u16At(Uint8Array.of(1, 2), 1)).toThrow('byte 2 of 2');
  });

  test('fill whole bytes with bits', () => {
    expect([1, 8, 9, 2000].map((quantity) => packedBytes(quantity, 1))).toEqual([1, 1, 2, 250]);
    expect([1, 125].map((quantity) => packedBytes(quantity, 16))).toEqual([2, 250]);
  });

  test('take a bit without disturbing its neighbours', () => {
    const bytes = new Uint8Array(2);
    putValue(bytes, 0, 9, 1, 1);
    putValue(bytes, 0, 15, 1, 1);
    putValue(bytes, 0, 10, 1, 0);
    expect(Array.from(bytes)).toEqual([0, 0x82]);
    expect([8, 9, 10, 15].map((index) => valueAt(bytes, 0, index, 1))).toEqual([0, 1, 0, 1]);
  });

  test('have 16 bits for an address or a register, and no more', () => {
    expect([0, 65535].every(isU16)).toBe(true);
    expect([-1, 65536, 1.5, Number.NaN].some(isU16)).toBe(false);
  });
});
