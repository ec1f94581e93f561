import { describe, expect, test } from 'vitest';
import { EXCEPTIONS, exceptionName, exceptionPdu } from '../../../src/modbus/index.ts';
import { hexOf } from './vectors.ts';

describe('the exception table', () => {
  test('has the nine codes of MB-APP section 7', () => {
    const codes = Object.values(EXCEPTIONS).map(({ code }) => code);
    expect(hexOf(Uint8Array.from(codes))).toBe('01 02 03 04 05 06 08 0A 0B');
  });

  test('names a code in words, and one it does not know by its number', () => {
    expect(exceptionName(0x02)).toBe('illegal data address');
    expect(exceptionName(0x07)).toBe('exception 7');
  });

  test('flags the function code of the request (MB-APP section 7 example)', () => {
    expect(hexOf(exceptionPdu(0x01, EXCEPTIONS.illegalDataAddress.code))).toBe('81 02');
  });
});
