import { expect, test } from 'vitest';
import { sameBytes } from '../../../src/modbus/index.ts';

test('bytes are the same where every one is, and there are as many', () => {
  const bytes = Uint8Array.of(4, 2, 0, 7);
  expect(sameBytes(bytes, Uint8Array.of(4, 2, 0, 7))).toBe(true);
  expect(sameBytes(bytes, Uint8Array.of(4, 2, 0, 8))).toBe(false);
  expect(sameBytes(bytes, bytes.subarray(0, 3))).toBe(false);
  expect(sameBytes(bytes.subarray(0, 3), bytes)).toBe(false);
});
