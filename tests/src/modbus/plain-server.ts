/**
 * A slow, plain Modbus server as an oracle for the fast one: it reads MB-APP section 6 function by function
 * and shares no code or table with src/modbus.
 */

export interface PlainDevice {
  readonly coils: number[];
  readonly discreteInputs: readonly number[];
  readonly inputRegisters: readonly number[];
  readonly holdingRegisters: number[];
  /** Holding register writes that the device refuses with exception 04. */
  readonly refused: { readonly address: number };
  /** Identification: number and text of each object, in order. */
  readonly objects: readonly (readonly [number, string])[];
}

export function plainAnswer(pdu: readonly number[], device: PlainDevice): readonly number[] {
  const [code = 0, ...rest] = pdu;
  // Codes from 128 up are no requests: the standard keeps them for exceptions, so the flag is set already.
  const exception = (number: number) => [code < 128 ? code + 128 : code, number];
  const word = (at: number) => (rest[at] ?? 0) * 256 + (rest[at + 1] ?? 0);
  const [start, second] = [word(0), word(2)];
  const bits: Record<number, readonly number[]> = { 1: device.coils, 2: device.discreteInputs };
  const words: Record<number, readonly number[]> = { 3: device.holdingRegisters, 4: device.inputRegisters };

  const bitTable = bits[code];
  if (bitTable !== undefined) {
    if (rest.length !== 4 || second < 1 || second > 2000) return exception(3);
    if (start + second > bitTable.length) return exception(2);
    const packed = inEights(bitTable.slice(start, start + second)).map(byteFrom);
    return [code, packed.length, ...packed];
  }
  const wordTable = words[code];
  if (wordTable !== undefined) {
    if (rest.length !== 4 || second < 1 || second > 125) return exception(3);
    if (start + second > wordTable.length) return exception(2);
    return [code, second * 2, ...wordTable.slice(start, start + second).flatMap(twoBytes)];
  }
  if (code === 22) {
    if (rest.length !== 6) return exception(3);
    const before = device.holdingRegisters[start];
    if (before === undefined) return exception(2);
    if (start === device.refused.address) return exception(4);
    device.holdingRegisters[start] = masked(before, second, word(4));
    return pdu;
  }
  if (code === 23) {
    const [from, many, bytes = -1, data] = [word(4), word(6), rest[8], rest.slice(9)];
    if (rest.length < 10 || second < 1 || second > 125 || many < 1 || many > 121) return exception(3);
    if (bytes !== many * 2 || data.length !== bytes) return exception(3);
    const { holdingRegisters: registers, refused } = device;
    if (start + second > registers.length || from + many > registers.length) return exception(2);
    if (refused.address >= from && refused.address < from + many) return exception(4);
    for (let i = 0; i < many; i += 1) registers[from + i] = (data[2 * i] ?? 0) * 256 + (data[2 * i + 1] ?? 0);
    return [code, second * 2, ...registers.slice(start, start + second).flatMap(twoBytes)];
  }
  if (code === 43) return identified(rest, device.objects, exception);
  const written = writtenValues(code, rest, second);
  if (written === 'unknown function') return exception(1);
  if (written === 'bad structure') return exception(3);
  const target = code === 5 || code === 15 ? device.coils : device.holdingRegisters;
  if (start + written.length > target.length) return exception(2);
  const hits = device.refused.address - start;
  if (target === device.holdingRegisters && hits >= 0 && hits < written.length) return exception(4);
  target.splice(start, written.length, ...written);
  return pdu.slice(0, 5);
}

function writtenValues(code: number, rest: readonly number[], second: number) {
  const [count = -1, ...data] = rest.slice(4);
  switch (code) {
    case 5:
      if (rest.length !== 4 || ![0, 65280].includes(second)) return 'bad structure';
      return [second === 0 ? 0 : 1];
    case 6:
      return rest.length === 4 ? [second] : 'bad structure';
    case 15: {
      if (second < 1 || second > 1968 || count !== Math.ceil(second / 8) || data.length !== count)
        return 'bad structure';
      return data
        .flatMap((byte) => byte.toString(2).padStart(8, '0').split('').reverse().map(Number))
        .slice(0, second);
    }
    case 16: {
      if (second < 1 || second > 123 || count !== second * 2 || data.length !== count) return 'bad structure';
      return Array.from({ length: second }, (_, i) => (data[2 * i] ?? 0) * 256 + (data[2 * i + 1] ?? 0));
    }
    default:
      return 'unknown function';
  }
}

/** Bit by bit: of the register where the AND mask has a 1, of the OR mask where it has none (6.16). */
function masked(before: number, and: number, or: number): number {
  const bits = (word: number) => word.toString(2).padStart(16, '0');
  const picked = Array.from(bits(and), (keep, i) => (keep === '1' ? bits(before) : bits(or))[i]);
  return Number.parseInt(picked.join(''), 2);
}

/** 6.21: an answer of at most 253 bytes, filled object by object. */
function identified(
  rest: readonly number[],
  all: PlainDevice['objects'],
  exception: (number: number) => readonly number[],
): readonly number[] {
  const [mei, readCode = 0, asked] = rest;
  if (mei !== undefined && mei !== 14) return exception(1);
  if (rest.length !== 3 || ![1, 2, 3, 4].includes(readCode)) return exception(3);
  const last = [0, 2, 127, 255, 255][readCode] ?? 0;
  const level = all.some(([id]) => id > 127) ? 3 : all.some(([id]) => id > 2) ? 2 : 1;
  const stream = all.filter(([id]) => (readCode === 4 ? id === asked : id <= last));
  if (stream.length === 0) return exception(2);
  const queue = stream.some(([id]) => id === asked)
    ? stream.slice(stream.findIndex(([id]) => id === asked))
    : [...stream];
  let list: number[] = [];
  let count = 0;
  for (let next = queue[0]; next !== undefined; next = queue[0]) {
    const longer = [...list, next[0], next[1].length, ...Buffer.from(next[1], 'latin1')];
    if (longer.length > 246) break;
    list = longer;
    count += 1;
    queue.shift();
  }
  const next = queue[0];
  return [43, 14, readCode, 128 + level, next ? 255 : 0, next?.[0] ?? 0, count, ...list];
}

function inEights(list: readonly number[]): readonly (readonly number[])[] {
  return list.length === 0 ? [] : [list.slice(0, 8), ...inEights(list.slice(8))];
}

function byteFrom(bits: readonly number[]): number {
  return Number.parseInt(bits.toReversed().join(''), 2);
}

function twoBytes(word: number): readonly number[] {
  return [Math.floor(word / 256), word % 256];
}
