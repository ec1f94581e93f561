/**
 * What a request wants, read from its bytes however unsound they are: a mistake must be shown, not dropped.
 */
import { FUNCTIONS, functionRow } from '../../src/modbus/index.ts';
import type { Table } from '../../src/sensor/index.ts';

export interface Stretch {
  readonly way: 'read' | 'write';
  readonly functionCode: number;
  readonly address: number;
  readonly quantity: number;
}

export interface AskedFor {
  readonly functionCode: number;
  /** None for a function without addresses, and for one cut too short to tell them. */
  readonly stretches: readonly Stretch[];
  /** Words of a write to holding registers, from where they are to go; null for any other request. */
  readonly words: { readonly address: number; readonly values: Uint16Array } | null;
}

const WHOLE_BYTES = 5;
const RUN_WORDS_AT = 6;
const READ_WRITE_BYTES = 10;

export function askedFor(pdu: Uint8Array): AskedFor {
  const functionCode = pdu[0] ?? 0;
  const shape = functionRow(functionCode)?.shape;
  if (shape === undefined || shape === 'identify' || pdu.length < WHOLE_BYTES)
    return { functionCode, stretches: [], words: null };
  const address = wordAt(pdu, 1);
  const field = wordAt(pdu, 3);
  const stretch = (way: Stretch['way'], first: number, quantity: number): Stretch => ({
    way,
    functionCode,
    address: first,
    quantity,
  });
  switch (shape) {
    case 'read':
      return { functionCode, stretches: [stretch('read', address, field)], words: null };
    case 'writeOne':
    case 'maskWrite':
      return { functionCode, stretches: [stretch('write', address, 1)], words: null };
    case 'writeMany':
      return {
        functionCode,
        stretches: [stretch('write', address, field)],
        words: functionCode === FUNCTIONS[16].code ? wordsFrom(pdu, RUN_WORDS_AT, address) : null,
      };
    case 'readWrite': {
      if (pdu.length < READ_WRITE_BYTES)
        return { functionCode, stretches: [stretch('read', address, field)], words: null };
      const written = wordAt(pdu, 5);
      return {
        functionCode,
        stretches: [stretch('read', address, field), stretch('write', written, wordAt(pdu, 7))],
        words: wordsFrom(pdu, READ_WRITE_BYTES, written),
      };
    }
  }
}

const TABLE_OF: Readonly<Record<'discreteInputs' | 'coils' | 'inputRegisters' | 'holdingRegisters', Table>> =
  { discreteInputs: 'discrete', coils: 'coil', inputRegisters: 'input', holdingRegisters: 'holding' };

/** The table that a function works on; null where it works on none. */
export function tableOf(functionCode: number): Table | null {
  const row = functionRow(functionCode);
  return row === undefined || row.shape === 'identify' ? null : TABLE_OF[row.table];
}

function wordsFrom(pdu: Uint8Array, at: number, address: number): NonNullable<AskedFor['words']> {
  const length = Math.max(0, pdu.length - at) >> 1;
  return { address, values: Uint16Array.from({ length }, (_, index) => wordAt(pdu, at + 2 * index)) };
}

function wordAt(pdu: Uint8Array, at: number): number {
  return ((pdu[at] ?? 0) << 8) | (pdu[at + 1] ?? 0);
}
