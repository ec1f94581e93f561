/**
 * What can be wrong with a request before anyone looks at the device: its structure.
 *
 * Where the fields stand, for all eight functions: code 0, address 1-2, quantity or value 3-4; a run of
 * values to write adds its byte count at 5 and the values from 6 on (MB-APP 6.1 to 6.12).
 */
import { byteAt, packedBytes, u16At } from './bytes.ts';
import { EXCEPTIONS, type ExceptionCode } from './exceptions.ts';
import type { FunctionRow, RowOf } from './functions.ts';

export const ADDRESS_AT = 1;
/** Also where a single write has its value. */
export const QUANTITY_AT = 3;
export const BYTE_COUNT_AT = 5;
export const VALUES_AT = 6;
/** A request without a run of values; also what a write answers: code, address, quantity or value. */
export const SHORT_BYTES = 5;

/** The only two values that write a coil; any other is illegal and changes nothing (6.5). */
export const COIL_ON = 0xff00;
export const COIL_OFF = 0x0000;

/**
 * Undefined for a sound structure, else exception 03: a quantity out of its limits, or a length that is not
 * the one implied (MB-APP 7). It never judges whether a value makes sense to the device.
 * The function code (01) was judged by the row's existence; the address (02) is for the device to judge.
 */
export function structureFault(pdu: Uint8Array, row: FunctionRow): ExceptionCode | undefined {
  return hasSoundStructure(pdu, row) ? undefined : EXCEPTIONS.illegalDataValue.code;
}

function hasSoundStructure(pdu: Uint8Array, row: FunctionRow): boolean {
  switch (row.shape) {
    case 'read':
      return pdu.length === SHORT_BYTES && quantityFits(u16At(pdu, QUANTITY_AT), row);
    case 'writeOne':
      return pdu.length === SHORT_BYTES && (row.valueBits === 16 || isCoilValue(u16At(pdu, QUANTITY_AT)));
    case 'writeMany':
      return pdu.length > VALUES_AT && runIsSound(pdu, row);
  }
}

function isCoilValue(value: number): boolean {
  return value === COIL_ON || value === COIL_OFF;
}

/** Quantity, byte count and length must tell the same story. */
function runIsSound(pdu: Uint8Array, row: RowOf<'writeMany'>): boolean {
  const quantity = u16At(pdu, QUANTITY_AT);
  const byteCount = byteAt(pdu, BYTE_COUNT_AT);
  return (
    quantityFits(quantity, row) &&
    byteCount === packedBytes(quantity, row.valueBits) &&
    pdu.length === VALUES_AT + byteCount
  );
}

function quantityFits(quantity: number, row: FunctionRow): boolean {
  return quantity >= 1 && quantity <= row.quantityMax;
}
