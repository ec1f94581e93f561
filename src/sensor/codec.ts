/**
 * Points ⇄ registers and bits, by the rows of a profile: one compiled codec serves the virtual sensor that
 * fills them and every client that reads them. Registers are numbers 0 to 65535, bits 0 or 1.
 */

import { readNumber, writeNumber } from './number.ts';
import { isBitTable, type Point, READ_REGISTERS_MAX, wordsOf } from './point.ts';
import {
  PERCENT_LFL_LEAST,
  POINT_KINDS,
  type PointName,
  SENSOR_STATES,
  type SensorAnswer,
  type SensorState,
  type SensorValues,
  stateOfBits,
} from './points.ts';
import type { Profile } from './profile.ts';
import { TABLES, type Table } from './tables.ts';

/** One request that reads a stretch of a table. */
export interface ReadBlock {
  readonly table: Table;
  readonly address: number;
  readonly quantity: number;
}

export interface SensorCodec {
  readonly profile: Profile;
  /** The fewest reads that bring every point. */
  readonly reads: readonly ReadBlock[];
  /**
   * Writes the points of one table into its image, without those that are as they were `before`; what no
   * point names is left alone.
   */
  encode(values: SensorValues, table: Table, image: Uint16Array, before?: SensorValues): void;
  /** Understands the words, or bits, of one block; merge the blocks of several reads with a spread. */
  decode(block: ReadBlock, words: ArrayLike<number>): SensorAnswer;
  /** The state in a merged answer: its word, or where the profile has none, what the bits say together. */
  stateOf(answer: SensorAnswer): SensorState | undefined;
}

/** One read takes at most 2000 bits (MB-APP 6.1, 6.2). */
const READ_BITS_MAX = 2000;

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
    reads: TABLES.flatMap((table) => blocksOf(table, rows, profile.gaps)),
    encode(values, table, image, before) {
      for (const { name, point } of rows) {
        if (point.table !== table || values[name] === before?.[name]) continue;
        writePoint(point, values[name], image);
      }
    },
    decode: knowingAgain((block, words) => {
      const answer: Record<string, unknown> = {};
      for (const row of rows) {
        const { name, point } = row;
        if (isWithin(point, block)) answer[name] = readPoint(row, words, point.address - block.address);
      }
      return answer;
    }),
    stateOf: (answer) => (profile.points.state === undefined ? stateOfBits(answer) : answer.state),
  };
}

/** Whoever polls and whoever looks on understand the same answer one after the other: the last is kept. */
function knowingAgain(decode: SensorCodec['decode']): SensorCodec['decode'] {
  let last: ReadBlock = { table: 'input', address: 0, quantity: 0 };
  let known: Uint16Array = new Uint16Array(0);
  let answer: SensorAnswer = {};
  return (block, words) => {
    if (isSame(block, last) && isAlike(words, known)) return answer;
    last = block;
    if (known.length !== words.length) known = new Uint16Array(words.length);
    for (let at = 0; at < known.length; at += 1) known[at] = words[at] ?? 0;
    answer = decode(block, words);
    return answer;
  };
}

function isSame(one: ReadBlock, other: ReadBlock): boolean {
  return one.table === other.table && one.address === other.address && one.quantity === other.quantity;
}

function isAlike(words: ArrayLike<number>, known: Uint16Array): boolean {
  if (words.length !== known.length) return false;
  for (let at = 0; at < known.length; at += 1) if (words[at] !== known[at]) return false;
  return true;
}

/** Points in order of address, as many to a read as it can bring. */
function blocksOf(table: Table, rows: readonly Row[], gaps: Profile['gaps']): ReadBlock[] {
  const points = rows.map((row) => row.point).filter((point) => point.table === table);
  const most = isBitTable(table) ? READ_BITS_MAX : READ_REGISTERS_MAX;
  const blocks: ReadBlock[] = [];
  for (const point of points.toSorted((one, other) => one.address - other.address)) {
    const open = blocks.at(-1);
    const from = open?.address ?? point.address;
    const read = open?.quantity ?? 0;
    const quantity = Math.max(read, point.address + wordsOf(point) - from);
    const touches = gaps === 'read' || point.address <= from + read;
    if (open !== undefined && touches && quantity <= most) blocks.splice(-1, 1, { ...open, quantity });
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
    const mask = maskOf(point);
    image[at] = value === point.inverted ? (image[at] ?? 0) & ~mask : (image[at] ?? 0) | mask;
  } else if (typeof value === 'string') {
    if (point.values === undefined) writeText(value, wordsOf(point), image, at);
    else image[at] = point.values[value as keyof typeof point.values] ?? 0;
  } else writeNumber(point, value, image);
}

/** A bit table has one bit at each address. */
function maskOf(point: Point): number {
  return 1 << (point.bit ?? 0);
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
      return ((word & maskOf(point)) !== 0) !== point.inverted;
    case 'text':
      return readText(words, at);
    case 'number':
      return soundNumber(name, readNumber(point, words, at));
  }
}

function soundNumber(name: PointName, number: number | null): number | null {
  const isUnsound = name === 'gasPercentLfl' && number !== null && number < PERCENT_LFL_LEAST;
  return isUnsound ? null : number;
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
    text = '';
    for (const word of known) text += String.fromCharCode(word >> 8, word & 0xff);
    text = text.trimEnd();
    return text;
  };
}
