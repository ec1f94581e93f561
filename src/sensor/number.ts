/**
 * Numbers ⇄ registers.
 *
 * A whole number is written rounded to the nearest count of its scale, and to the end of its range where it
 * is beyond: it never wraps, and never looks like "no valid reading". A float is the nearest single of
 * IEEE 754; NaN says that there is no valid reading, and what is not finite is none.
 */
import { type Point, wordsOf } from './point.ts';

const WORD = 0x10000;
const TWO_WORDS = WORD * WORD;
/** The counts that a whole number holds. */
const RANGES: Readonly<Record<Exclude<Point['type'], 'f32' | 'ascii'>, readonly [number, number]>> = {
  u16: [0, WORD - 1],
  i16: [-WORD / 2, WORD / 2 - 1],
  u32: [0, TWO_WORDS - 1],
  i32: [-TWO_WORDS / 2, TWO_WORDS / 2 - 1],
};
/** Largest finite single: (2 − 2^−23) × 2^127 (IEEE 754-2019, 3.3). */
const F32_MAX = (2 - 2 ** -23) * 2 ** 127;
/** The quiet NaN with no payload, as most arithmetic units make it. */
const F32_NAN = 0x7fc00000;

/** Between a float and its bits; written and read within one call, so nothing is ever kept in it. */
const bits = new DataView(new ArrayBuffer(4));

/** null, no valid reading, is the point's word for that, or 0 where it has none. */
export function writeNumber(point: Point, value: number | null, image: Uint16Array): void {
  const { address, type } = point;
  if (type === 'ascii') throw new RangeError('a text holds no number');
  const onWire = type === 'f32' ? floatOnWire(point, value) : wholeOnWire(RANGES[type], point, value);
  if (wordsOf(point) === 1) image[address] = onWire;
  else {
    const lowFirst = point.wordOrder === 'low-first';
    image[address + (lowFirst ? 1 : 0)] = Math.floor(onWire / WORD);
    image[address + (lowFirst ? 0 : 1)] = onWire % WORD;
  }
}

/** The number at `words[at]`; null for no valid reading. */
export function readNumber(point: Point, words: ArrayLike<number>, at: number): number | null {
  const onWire = numberOnWire(point, words, at);
  if (point.type === 'f32') return floatOf(point, onWire);
  if (onWire === point.invalid) return null;
  const span = wordsOf(point) === 1 ? WORD : TWO_WORDS;
  const signed = point.type === 'i16' || point.type === 'i32';
  const counts = signed && onWire >= span / 2 ? onWire - span : onWire;
  // Counts times a decimal scale carry binary dust (3 × 0.1); dividing by the inverse does not.
  return counts / (1 / point.scale);
}

/** Counts of the scale, two's complement below zero. */
function wholeOnWire([min, max]: readonly [number, number], point: Point, value: number | null): number {
  if (value === null) return point.invalid ?? 0;
  const span = max - min + 1;
  const bounded = Math.min(Math.max(Math.round(value / point.scale), min), max);
  const onWire = (counts: number): number => (counts < 0 ? counts + span : counts);
  const beside = bounded === min ? bounded + 1 : bounded - 1;
  return onWire(onWire(bounded) === point.invalid ? beside : bounded);
}

function floatOnWire({ scale }: Point, value: number | null): number {
  if (value === null) return F32_NAN;
  bits.setFloat32(0, Math.min(Math.max(value / scale, -F32_MAX), F32_MAX));
  return bits.getUint32(0);
}

function numberOnWire(point: Point, words: ArrayLike<number>, at: number): number {
  const first = words[at] ?? 0;
  const second = words[at + 1] ?? 0;
  if (wordsOf(point) === 1) return first;
  return point.wordOrder === 'low-first' ? second * WORD + first : first * WORD + second;
}

function floatOf({ scale }: Point, onWire: number): number | null {
  bits.setUint32(0, onWire);
  const number = bits.getFloat32(0);
  return Number.isFinite(number) ? number / (1 / scale) : null;
}
