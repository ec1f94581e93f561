/**
 * What can be wrong with a request before anyone looks at the device: its structure.
 *
 * Where the fields stand: code 0, address 1-2, quantity or value 3-4. A run of values to write adds its byte
 * count at 5 and the values from 6 on (MB-APP 6.1 to 6.12). A mask write has its OR mask at 5-6 (6.16). A
 * read/write has a second address at 5-6, and its run goes on from there as a written run does from its own
 * address (6.17). Identification has none of these: interface 1, read code 2, object 3 (6.21).
 */
import { byteAt, packedBytes, u16At } from './bytes.ts';
import { EXCEPTIONS, type ExceptionCode } from './exceptions.ts';
import type { FunctionRow, RowOf } from './functions.ts';

export const ADDRESS_AT = 1;
/** Also where a single write has its value. */
export const QUANTITY_AT = 3;
/** A request without a run of values; also what a write answers: code, address, quantity or value. */
export const SHORT_BYTES = 5;

export const AND_MASK_AT = 3;
export const OR_MASK_AT = 5;
export const MASK_BYTES = 7;

/** Where a written run's quantity, byte count and values stand, seen from its address. */
const TO_QUANTITY = 2;
const TO_BYTE_COUNT = 4;
const TO_VALUES = 5;
export const BYTE_COUNT_AT = ADDRESS_AT + TO_BYTE_COUNT;
export const VALUES_AT = ADDRESS_AT + TO_VALUES;
export const WRITE_ADDRESS_AT = 5;
export const WRITE_QUANTITY_AT = WRITE_ADDRESS_AT + TO_QUANTITY;
export const WRITE_VALUES_AT = WRITE_ADDRESS_AT + TO_VALUES;

/** MEI: Modbus encapsulated interface, of which identification is one (6.19). */
export const MEI_TYPE_AT = 1;
export const READ_CODE_AT = 2;
export const OBJECT_AT = 3;
export const IDENTIFY_BYTES = 4;
/** Read codes: basic, regular or extended objects one after the other, or a single object (6.21). */
const READ_CODE_MIN = 1;
const READ_CODE_MAX = 4;

/** The only two values that write a coil; any other is illegal and changes nothing (6.5). */
export const COIL_ON = 0xff00;
export const COIL_OFF = 0x0000;

/**
 * Undefined for a sound structure, else exception 03: a quantity out of its limits, or a length that is not
 * the one implied (MB-APP 7). It never judges whether a value makes sense to the device.
 * The function code (01) was judged by the row's existence, but an interface other than the row's is another
 * function in all but its code, and gets 01 here. The address (02) is for the device to judge.
 */
export function structureFault(pdu: Uint8Array, row: FunctionRow): ExceptionCode | undefined {
  if (isOtherInterface(pdu, row)) return EXCEPTIONS.illegalFunction.code;
  return hasSoundStructure(pdu, row) ? undefined : EXCEPTIONS.illegalDataValue.code;
}

/** Too short to name one is a fault of length, not of function. */
function isOtherInterface(pdu: Uint8Array, row: FunctionRow): boolean {
  return row.shape === 'identify' && pdu.length > MEI_TYPE_AT && pdu[MEI_TYPE_AT] !== row.meiType;
}

function hasSoundStructure(pdu: Uint8Array, row: FunctionRow): boolean {
  switch (row.shape) {
    case 'read':
      return pdu.length === SHORT_BYTES && quantityFits(u16At(pdu, QUANTITY_AT), row.quantityMax);
    case 'writeOne':
      return pdu.length === SHORT_BYTES && (row.valueBits === 16 || isCoilValue(u16At(pdu, QUANTITY_AT)));
    case 'writeMany':
      return runIsSound(pdu, ADDRESS_AT, row, row.quantityMax);
    case 'maskWrite':
      return pdu.length === MASK_BYTES;
    case 'readWrite':
      return (
        runIsSound(pdu, WRITE_ADDRESS_AT, row, row.writeQuantityMax) &&
        quantityFits(u16At(pdu, QUANTITY_AT), row.quantityMax)
      );
    case 'identify':
      return pdu.length === IDENTIFY_BYTES && isReadCode(byteAt(pdu, READ_CODE_AT));
  }
}

function isCoilValue(value: number): boolean {
  return value === COIL_ON || value === COIL_OFF;
}

function isReadCode(value: number): boolean {
  return value >= READ_CODE_MIN && value <= READ_CODE_MAX;
}

/** A written run ends its request; quantity, byte count and length must tell the same story. */
function runIsSound(
  pdu: Uint8Array,
  at: number,
  { valueBits }: RowOf<'writeMany' | 'readWrite'>,
  quantityMax: number,
): boolean {
  if (pdu.length <= at + TO_VALUES) return false;
  const quantity = u16At(pdu, at + TO_QUANTITY);
  const byteCount = byteAt(pdu, at + TO_BYTE_COUNT);
  return (
    quantityFits(quantity, quantityMax) &&
    byteCount === packedBytes(quantity, valueBits) &&
    pdu.length === at + TO_VALUES + byteCount
  );
}

function quantityFits(quantity: number, quantityMax: number): boolean {
  return quantity >= 1 && quantity <= quantityMax;
}
