import fc from 'fast-check';
import { expect, it } from 'vitest';
import { isSwapped } from '../../../sim/poll-report/word-order.ts';
import { type Point, pointSchema } from '../../../src/sensor/point.ts';

const point = (type: string, wordOrder: string): Point =>
  pointSchema.parse({ table: 'holding', address: 0, type, wordOrder });

function wordsOf(value: number): readonly [number, number] {
  const bits = new DataView(new ArrayBuffer(4));
  bits.setFloat32(0, value);
  return [bits.getUint16(0), bits.getUint16(2)];
}

it('never suspects a float between 0.001 and 100000 that is written in the right order', () => {
  const likely = fc.oneof(fc.double({ min: 0.001, max: 99_999, noNaN: true }), fc.constant(0));
  fc.assert(
    fc.property(likely, fc.boolean(), (size, isNegative) => {
      const [high, low] = wordsOf(isNegative ? -size : size);
      expect(isSwapped(point('f32', 'high-first'), high, low)).toBe(false);
      expect(isSwapped(point('f32', 'low-first'), low, high)).toBe(false);
    }),
  );
});

it.each([20, 18.5, 25, 0.1, 1000])('finds %d with its words exchanged', (value) => {
  const [high, low] = wordsOf(value);
  expect(isSwapped(point('f32', 'low-first'), high, low)).toBe(true);
  expect(isSwapped(point('f32', 'high-first'), low, high)).toBe(true);
});

it('finds a small count turned round, and leaves others in peace', () => {
  expect(isSwapped(point('u32', 'high-first'), 5, 0)).toBe(true);
  expect(isSwapped(point('u32', 'low-first'), 0, 5)).toBe(true);
  expect(isSwapped(point('u32', 'high-first'), 0, 5)).toBe(false);
  expect(isSwapped(point('i32', 'high-first'), 1, 5)).toBe(false);
  expect(isSwapped(point('u16', 'high-first'), 5, 0)).toBe(false);
});

it('does not suspect NaN, which says that there is no value', () => {
  expect(isSwapped(point('f32', 'high-first'), 0x7fc0, 0)).toBe(false);
});
