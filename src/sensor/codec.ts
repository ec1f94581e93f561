/**
 * Points ⇄ registers, by the rows of a profile: one compiled codec serves the virtual sensor that fills the
 * registers and every client that reads them.
 *
 * Registers are numbers 0 to 65535. A number is written rounded to the nearest count of its scale, and to the
 * end of its range where it is beyond: it never wraps, and never looks like "no valid reading".
 */

import { type Point, READ_REGISTERS_MAX, wordsOf } from './point.ts';
import {
  POINT_KINDS,
  type PointName,
  SENSOR_STATES,
  type SensorAnswer,
  type SensorValues,
} from './points.ts';
import type { Profile } from './profile.ts';

export type RegisterTable = Point['table'];

/** One request that reads a stretch of a table: FC 04 for input registers, FC 03 for holding registers. */
export interface ReadBlock {
  readonly table: RegisterTable;
  readonly address: number;
  readonly quantity: number;
}

export interface SensorCodec {
  readonly profile: Profile;
  /** The fewest reads that bring every point. */
  readonly reads: readonly ReadBlock[];
  /** Writes every point of one table into its image; registers no point names are left alone. */
  encode(values: SensorValues, table: RegisterTable, image: Uint16Array): void;
  /** Understands the words of one block; merge the blocks of several reads with a spread. */
  decode(block: ReadBlock, words: ArrayLike<number>): SensorAnswer;
}

const WORD = 0x10000;
/** The counts that a type holds; a text holds none. */
const RANGES: Readonly<Record<Point['type'], readonly [number, number]>> = {
  u16: [0, WORD - 1],
  i16: [-WORD / 2, WORD / 2 - 1],
  u32: [0, WORD * WORD - 1],
  ascii: [0, 0],
};

interface Row {
  readonly name: PointName;
  readonly point: Point;
  readonly readText: (words: ArrayLike<number>, at: number) => string;
}

export function compileCodec(profile: Profile): SensorCodec {
  const rows: readonly Row[] = Object.entries(profile.points).map(([name, point]) => ({
    name: name as PointName,
    point,
    readText: textReader(wordsOf(point)),
  }));
  return {
    profile,
    reads: (['input', 'holding'] as const).flatMap((table) => blocksOf(table, rows)),
    encode(values, table, image) {
      for (const { name, point } of rows) {
        if (point.table === table) writePoint(point, values[name], image);
      }
    },
    decode(block, words) {
      const answer: Record<string, unknown> = {};
      for (const row of rows) {
        const { name, point } = row;
        if (isWithin(point, block)) answer[name] = readPoint(row, words, point.address - block.address);
      }
      return answer;
    },
  };
}

/** Points in order of address, as many to a read as it can bring. */
function blocksOf(table: RegisterTable, rows: readonly Row[]): ReadBlock[] {
  const points = rows.map((row) => row.point).filter((point) => point.table === table);
  const blocks: ReadBlock[] = [];
  for (const point of points.toSorted((one, other) => one.address - other.address)) {
    const open = blocks.at(-1);
    const from = open?.address ?? point.address;
    const quantity = Math.max(open?.quantity ?? 0, point.address + wordsOf(point) - from);
    if (open !== undefined && quantity <= READ_REGISTERS_MAX) blocks.splice(-1, 1, { ...open, quantity });
    else blocks.push({ table, address: point.address, quantity: wordsOf(point) });
  }
  return blocks;
}

function isWithin(point: Point, { table, address, quantity }: ReadBlock): boolean {
  return (
    point.table === table && point.address >= address && point.address + wordsOf(point) <= address + quantity
  );
}

function writePoint(point: Point, value: SensorValues[PointName], image: Uint16Array): void {
  const at = point.address;
  if (typeof value === 'boolean') {
    const mask = 1 << (point.bit ?? 0);
    image[at] = value ? (image[at] ?? 0) | mask : (image[at] ?? 0) & ~mask;
  } else if (typeof value === 'string') {
    if (point.values === undefined) writeText(value, wordsOf(point), image, at);
    else image[at] = point.values[value as keyof typeof point.values] ?? 0;
  } else {
    const counts = value === null ? (point.invalid ?? 0) : countsOf(point, value);
    if (point.type !== 'u32') image[at] = counts;
    else {
      const [high, low] = wordOffsets(point);
      image[at + high] = Math.floor(counts / WORD);
      image[at + low] = counts;
    }
  }
}

/** Where a u32 has its high and its low register. */
function wordOffsets(point: Point): readonly [number, number] {
  return point.wordOrder === 'high-first' ? [0, 1] : [1, 0];
}

/** What a number is on the wire: counts of its scale, two's complement below zero. */
function countsOf(point: Point, value: number): number {
  const [min, max] = RANGES[point.type];
  const bounded = Math.min(Math.max(Math.round(value / point.scale), min), max);
  const onWire = (counts: number): number => (counts < 0 ? counts + WORD : counts);
  const beside = bounded === min ? bounded + 1 : bounded - 1;
  return onWire(onWire(bounded) === point.invalid ? beside : bounded);
}

function writeText(text: string, words: number, image: Uint16Array, at: number): void {
  for (let word = 0; word < words; word += 1) {
    image[at + word] = (charAt(text, 2 * word) << 8) | charAt(text, 2 * word + 1);
  }
}

/** ASCII code of a character, a space beyond the end and for what is not ASCII. */
function charAt(text: string, index: number): number {
  const code = index < text.length ? text.charCodeAt(index) : 0x20;
  return code < 0x80 ? code : 0x20;
}

function readPoint({ name, point, readText }: Row, words: ArrayLike<number>, at: number): unknown {
  const word = words[at] ?? 0;
  switch (POINT_KINDS[name]) {
    case 'state':
      return SENSOR_STATES.find((state) => point.values?.[state] === word);
    case 'flag':
      return (word & (1 << (point.bit ?? 0))) !== 0;
    case 'text':
      return readText(words, at);
    case 'number':
      return readNumber(point, words, at);
  }
}

function readNumber(point: Point, words: ArrayLike<number>, at: number): number | null {
  const [high, low] = wordOffsets(point);
  const wordAt = (offset: number): number => words[at + offset] ?? 0;
  const onWire = point.type === 'u32' ? wordAt(high) * WORD + wordAt(low) : wordAt(0);
  if (onWire === point.invalid) return null;
  const counts = point.type === 'i16' && onWire >= WORD / 2 ? onWire - WORD : onWire;
  // Counts times a decimal scale carry binary dust (3 × 0.1); dividing by the inverse does not.
  return counts / (1 / point.scale);
}

/** A text hardly ever changes and is read with every poll, so the last one is kept. */
function textReader(count: number): Row['readText'] {
  const known = new Uint16Array(count);
  let text = '';
  return (words, at) => {
    let isKnown = text !== '';
    for (let index = 0; index < count && isKnown; index += 1) isKnown = words[at + index] === known[index];
    if (isKnown) return text;
    for (let index = 0; index < count; index += 1) known[index] = words[at + index] ?? 0;
    const bytes = Array.from(known, (word) => String.fromCharCode(word >> 8, word & 0xff));
    text = bytes.join('').trimEnd();
    return text;
  };
}
