import { describe, expect, test } from 'vitest';
import {
  answer,
  type DataModel,
  type Range,
  readableTable,
  writableTable,
} from '../../../src/modbus/index.ts';
import { bytesOf, hexOf } from './vectors.ts';

const bits = (first: number, ...values: readonly number[]): Range => ({
  first,
  values: Uint8Array.from(values),
});

/** Discrete inputs 0-5, 8-9 and 24-25, given in no order. */
const inputs: DataModel = {
  discreteInputs: readableTable([bits(24, 1, 1), bits(0, 1, 1, 1, 1, 1, 1), bits(8, 1, 1)]),
};

describe('a table of ranges', () => {
  test('reads 0 in the gaps between them', () => {
    expect(hexOf(answer(bytesOf('02 00 00 00 1A'), inputs))).toBe('02 04 3F 03 00 03');
    expect(hexOf(answer(bytesOf('02 00 0A 00 0E'), inputs))).toBe('02 02 00 00');
  });

  test('ends with the highest range: one more is exception 02', () => {
    expect(hexOf(answer(bytesOf('02 00 19 00 01'), inputs))).toBe('02 01 01');
    expect(hexOf(answer(bytesOf('02 00 19 00 02'), inputs))).toBe('82 02');
    expect(hexOf(answer(bytesOf('02 00 1A 00 01'), inputs))).toBe('82 02');
  });

  test('begins with the lowest range: one before is exception 02', () => {
    const device: DataModel = {
      inputRegisters: readableTable([{ first: 100, values: Uint16Array.of(7, 8) }]),
    };
    expect(hexOf(answer(bytesOf('04 00 64 00 02'), device))).toBe('04 04 00 07 00 08');
    expect(hexOf(answer(bytesOf('04 00 63 00 02'), device))).toBe('84 02');
    expect(hexOf(answer(bytesOf('04 00 64 00 03'), device))).toBe('84 02');
  });

  test('takes a write across a gap, asks and tells the device of its own addresses only', () => {
    const [low, high] = [bits(0, 0, 0), bits(4, 0, 0)];
    const asked: number[] = [];
    const told: (readonly [number, number])[] = [];
    const device: DataModel = {
      coils: writableTable([low, high], {
        refuses: (address) => void asked.push(address),
        written: (address, value) => told.push([address, value]),
      }),
    };
    expect(hexOf(answer(bytesOf('0F 00 00 00 06 01 2E'), device))).toBe('0F 00 00 00 06');
    expect(asked).toEqual([0, 1, 4, 5]);
    expect(told).toEqual([
      [0, 0],
      [1, 1],
      [4, 0],
      [5, 1],
    ]);
    expect(hexOf(answer(bytesOf('01 00 00 00 06'), device))).toBe('01 01 22');
    expect(hexOf(answer(bytesOf('05 00 03 FF 00'), device)), 'a reserved coil').toBe('05 00 03 FF 00');
    expect(hexOf(answer(bytesOf('01 00 03 00 01'), device))).toBe('01 01 00');
  });

  test('shows what its owner put into the array since', () => {
    const values = new Uint16Array(2);
    const device: DataModel = { inputRegisters: readableTable([{ first: 0, values }]) };
    values[1] = 0x1234;
    expect(hexOf(answer(bytesOf('04 00 01 00 01'), device))).toBe('04 02 12 34');
  });

  test('reaches the last address there is', () => {
    const device: DataModel = { discreteInputs: readableTable([bits(65535, 1)]) };
    expect(hexOf(answer(bytesOf('02 FF FF 00 01'), device))).toBe('02 01 01');
    expect(hexOf(answer(bytesOf('02 FF FF 00 02'), device))).toBe('82 02');
  });

  test.each<readonly [string, readonly Range[]]>([
    ['no range', []],
    ['an empty range', [bits(0)]],
    ['two ranges that overlap', [bits(0, 1, 1), bits(1, 1)]],
    ['a range past address 65535', [bits(65535, 1, 1)]],
    ['a range before address 0', [bits(-1, 1)]],
    ['a range from between two addresses', [bits(0.5, 1)]],
  ])('cannot be made of %s', (_, ranges) => {
    expect(() => readableTable(ranges)).toThrow(RangeError);
  });
});
