/**
 * What a written pair of registers says of the writer's word order. A read says nothing of it: both orders
 * ask for the same two registers.
 */
import type { Point } from '../../src/sensor/index.ts';

/**
 * Floats that a setting or a reading may well have; beyond them a float is the other order of a better one.
 */
const LIKELY_MIN = 1e-3;
const LIKELY_MAX = 1e5;
const WORD = 0x10000;

const bits = new DataView(new ArrayBuffer(4));

/** True where the pair makes no sense in the profile's order and does in the other. */
export function isSwapped({ type, wordOrder }: Point, first: number, second: number): boolean {
  const lowFirst = wordOrder === 'low-first';
  const [high, low] = lowFirst ? [second, first] : [first, second];
  if (type === 'f32') return !isLikely(high, low) && isLikely(low, high);
  // A count beyond 65535 with nothing in its low word is a small one turned round.
  return (type === 'u32' || type === 'i32') && low === 0 && high !== 0 && high < WORD / 2;
}

function isLikely(high: number, low: number): boolean {
  bits.setUint16(0, high);
  bits.setUint16(2, low);
  const value = Math.abs(bits.getFloat32(0));
  return value === 0 || (value >= LIKELY_MIN && value <= LIKELY_MAX);
}
