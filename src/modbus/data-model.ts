/**
 * What a Modbus device holds, and how it answers: the server side of MB-APP sections 6 and 7, without a wire.
 *
 * `answer` follows the standard's state diagrams: function (01), quantity, value and length (03), address
 * (02), execution (what the table refuses with). It allocates the answer and nothing else: a host in
 * virtual time calls it millions of times a second.
 */
import { byteAt, putValue, u16At, valueAt } from './bytes.ts';
import { EXCEPTIONS, type ExceptionCode, exceptionPdu } from './exceptions.ts';
import { type FunctionRow, functionRow, type RowOf } from './functions.ts';
import { type Identification, identify } from './identification.ts';
import { decodeIdentifyRequest, encodeIdentifyResponse } from './identification-pdu.ts';
import { blankReadPdu, READ_VALUES_AT, singleValue } from './pdu.ts';
import {
  ADDRESS_AT,
  AND_MASK_AT,
  MASK_BYTES,
  OR_MASK_AT,
  QUANTITY_AT,
  SHORT_BYTES,
  structureFault,
  VALUES_AT,
  WRITE_ADDRESS_AT,
  WRITE_QUANTITY_AT,
  WRITE_VALUES_AT,
} from './request-check.ts';

/** One of the four tables: values at addresses, as the device has them at this moment. */
export interface ReadableTable {
  /** Whether address to address + quantity - 1 lie inside the map; if not, the answer is exception 02. */
  covers(address: number, quantity: number): boolean;
  /** The value at an address inside the map: 0 or 1 for a bit, 0 to 65535 for a register. */
  read(address: number): number;
}

/** A table that takes writes. A request is taken whole or not at all: all are asked before one is written. */
export interface WritableTable extends ReadableTable {
  /** The exception with which the device refuses this value at this address; undefined: it takes it. */
  refuses(address: number, value: number): ExceptionCode | undefined;
  write(address: number, value: number): void;
}

/** A table, or an identification, that is left out does not exist: its functions get exception 01. */
export interface DataModel {
  readonly discreteInputs?: ReadableTable;
  readonly coils?: WritableTable;
  readonly inputRegisters?: ReadableTable;
  readonly holdingRegisters?: WritableTable;
  /** Made once, by `identificationOf`: a device does not change what it is. */
  readonly identification?: Identification;
}

/**
 * The answer of a device with this data model to a request PDU of at least one byte.
 * A write that is answered without an exception has been carried out when this returns.
 */
export function answer(pdu: Uint8Array, model: DataModel): Uint8Array {
  const code = byteAt(pdu, 0);
  const row = functionRow(code);
  const reply = row === undefined ? undefined : answerRow(pdu, row, model);
  return reply ?? exceptionPdu(code, EXCEPTIONS.illegalFunction.code);
}

/** Undefined where the model lacks what the function works on. */
function answerRow(pdu: Uint8Array, row: FunctionRow, model: DataModel): Uint8Array | undefined {
  switch (row.shape) {
    case 'read': {
      const table = model[row.table];
      return table && answerRead(pdu, row, table);
    }
    case 'writeOne': {
      const table = model[row.table];
      return table && answerWriteOne(pdu, row, table);
    }
    case 'writeMany': {
      const table = model[row.table];
      return table && answerWriteMany(pdu, row, table);
    }
    case 'maskWrite': {
      const table = model[row.table];
      return table && answerMaskWrite(pdu, row, table);
    }
    case 'readWrite': {
      const table = model[row.table];
      return table && answerReadWrite(pdu, row, table);
    }
    case 'identify':
      return model.identification && answerIdentify(pdu, row, model.identification);
  }
}

/** Functions 01 to 04. Nothing changes the model while this runs, so the values are of one moment. */
function answerRead(pdu: Uint8Array, row: RowOf<'read'>, table: ReadableTable): Uint8Array {
  const fault = structureFault(pdu, row);
  if (fault !== undefined) return exceptionPdu(row.code, fault);
  const address = u16At(pdu, ADDRESS_AT);
  const quantity = u16At(pdu, QUANTITY_AT);
  if (!table.covers(address, quantity)) return outsideMap(row.code);
  return valuesFrom(table, address, quantity, row);
}

/** Functions 05 and 06. */
function answerWriteOne(pdu: Uint8Array, row: RowOf<'writeOne'>, table: WritableTable): Uint8Array {
  const fault = structureFault(pdu, row);
  if (fault !== undefined) return exceptionPdu(row.code, fault);
  const address = u16At(pdu, ADDRESS_AT);
  if (!table.covers(address, 1)) return outsideMap(row.code);
  const value = singleValue(pdu, row);
  const refusal = table.refuses(address, value);
  if (refusal !== undefined) return exceptionPdu(row.code, refusal);
  table.write(address, value);
  return firstBytesOf(pdu, SHORT_BYTES);
}

/** Functions 0F and 10. */
function answerWriteMany(pdu: Uint8Array, row: RowOf<'writeMany'>, table: WritableTable): Uint8Array {
  const fault = structureFault(pdu, row);
  if (fault !== undefined) return exceptionPdu(row.code, fault);
  const address = u16At(pdu, ADDRESS_AT);
  const quantity = u16At(pdu, QUANTITY_AT);
  if (!table.covers(address, quantity)) return outsideMap(row.code);
  const refusal = writeRun(pdu, VALUES_AT, table, address, quantity, row);
  return refusal === undefined ? firstBytesOf(pdu, SHORT_BYTES) : exceptionPdu(row.code, refusal);
}

/** Function 16: the device is asked about the value that comes of the masks, not about the masks. */
function answerMaskWrite(pdu: Uint8Array, row: RowOf<'maskWrite'>, table: WritableTable): Uint8Array {
  const fault = structureFault(pdu, row);
  if (fault !== undefined) return exceptionPdu(row.code, fault);
  const address = u16At(pdu, ADDRESS_AT);
  if (!table.covers(address, 1)) return outsideMap(row.code);
  const [andMask, orMask] = [u16At(pdu, AND_MASK_AT), u16At(pdu, OR_MASK_AT)];
  const value = (table.read(address) & andMask) | (orMask & ~andMask);
  const refusal = table.refuses(address, value);
  if (refusal !== undefined) return exceptionPdu(row.code, refusal);
  table.write(address, value);
  return firstBytesOf(pdu, MASK_BYTES);
}

/** Function 17: what is read is as it stands after the write. Both must lie in the map before one begins. */
function answerReadWrite(pdu: Uint8Array, row: RowOf<'readWrite'>, table: WritableTable): Uint8Array {
  const fault = structureFault(pdu, row);
  if (fault !== undefined) return exceptionPdu(row.code, fault);
  const [address, quantity] = [u16At(pdu, ADDRESS_AT), u16At(pdu, QUANTITY_AT)];
  const [writeAddress, written] = [u16At(pdu, WRITE_ADDRESS_AT), u16At(pdu, WRITE_QUANTITY_AT)];
  if (!table.covers(address, quantity) || !table.covers(writeAddress, written)) return outsideMap(row.code);
  const refusal = writeRun(pdu, WRITE_VALUES_AT, table, writeAddress, written, row);
  return refusal === undefined ? valuesFrom(table, address, quantity, row) : exceptionPdu(row.code, refusal);
}

/**
 * Function 2B, interface 0E. Nobody polls it, so it may go by way of values, and a long stream is worked out
 * anew for each of its parts: a server keeps nothing of a client between two requests.
 */
function answerIdentify(pdu: Uint8Array, row: RowOf<'identify'>, identification: Identification): Uint8Array {
  const fault = structureFault(pdu, row);
  if (fault !== undefined) return exceptionPdu(row.code, fault);
  const said = identify(identification, decodeIdentifyRequest(pdu));
  return typeof said === 'number' ? exceptionPdu(row.code, said) : encodeIdentifyResponse(said);
}

/** What functions 01 to 04 and 17 answer with. */
function valuesFrom(
  table: ReadableTable,
  address: number,
  quantity: number,
  row: RowOf<'read' | 'readWrite'>,
): Uint8Array {
  const reply = blankReadPdu(row, quantity);
  for (let index = 0; index < quantity; index += 1) {
    putValue(reply, READ_VALUES_AT, index, row.valueBits, table.read(address + index));
  }
  return reply;
}

/** Two passes over the run that begins at byte `at`: a refusal in its middle leaves nothing half done. */
function writeRun(
  pdu: Uint8Array,
  at: number,
  table: WritableTable,
  address: number,
  quantity: number,
  { valueBits }: RowOf<'writeMany' | 'readWrite'>,
): ExceptionCode | undefined {
  for (let index = 0; index < quantity; index += 1) {
    const refusal = table.refuses(address + index, valueAt(pdu, at, index, valueBits));
    if (refusal !== undefined) return refusal;
  }
  for (let index = 0; index < quantity; index += 1) {
    table.write(address + index, valueAt(pdu, at, index, valueBits));
  }
  return undefined;
}

function outsideMap(functionCode: number): Uint8Array {
  return exceptionPdu(functionCode, EXCEPTIONS.illegalDataAddress.code);
}

/** A write answers with its own code, address, and value, quantity or masks (6.5, 6.6, 6.11, 6.12, 6.16). */
function firstBytesOf(pdu: Uint8Array, bytes: number): Uint8Array {
  const reply = new Uint8Array(bytes);
  for (let at = 0; at < bytes; at += 1) reply[at] = byteAt(pdu, at);
  return reply;
}
