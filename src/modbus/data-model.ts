/**
 * What a Modbus device holds, and how it answers: the server side of MB-APP sections 6 and 7, without a wire.
 *
 * `answer` follows the standard's state diagrams: function (01), quantity, value and length (03), address
 * (02), execution (what the table refuses with). It allocates the answer and nothing else: a host in
 * virtual time calls it millions of times a second.
 */
import { byteAt, putValue, u16At, valueAt } from './bytes.ts';
import { EXCEPTIONS, type ExceptionCode, exceptionPdu } from './exceptions.ts';
import { functionRow, type RowOf } from './functions.ts';
import { blankReadPdu, READ_VALUES_AT, singleValue } from './pdu.ts';
import { ADDRESS_AT, QUANTITY_AT, SHORT_BYTES, structureFault, VALUES_AT } from './request-check.ts';

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

/** A table that is left out does not exist: its functions get exception 01. */
export interface DataModel {
  readonly discreteInputs?: ReadableTable;
  readonly coils?: WritableTable;
  readonly inputRegisters?: ReadableTable;
  readonly holdingRegisters?: WritableTable;
}

/**
 * The answer of a device with this data model to a request PDU of at least one byte.
 * A write that is answered without an exception has been carried out when this returns.
 */
export function answer(pdu: Uint8Array, model: DataModel): Uint8Array {
  const code = byteAt(pdu, 0);
  const row = functionRow(code);
  const refusal = EXCEPTIONS.illegalFunction.code;
  if (row === undefined) return exceptionPdu(code, refusal);
  switch (row.shape) {
    case 'read': {
      const table = model[row.table];
      return table === undefined ? exceptionPdu(code, refusal) : answerRead(pdu, row, table);
    }
    case 'writeOne': {
      const table = model[row.table];
      return table === undefined ? exceptionPdu(code, refusal) : answerWriteOne(pdu, row, table);
    }
    case 'writeMany': {
      const table = model[row.table];
      return table === undefined ? exceptionPdu(code, refusal) : answerWriteMany(pdu, row, table);
    }
  }
}

/** Functions 01 to 04. Nothing changes the model while this runs, so the values are of one moment. */
function answerRead(pdu: Uint8Array, row: RowOf<'read'>, table: ReadableTable): Uint8Array {
  const fault = structureFault(pdu, row);
  if (fault !== undefined) return exceptionPdu(row.code, fault);
  const address = u16At(pdu, ADDRESS_AT);
  const quantity = u16At(pdu, QUANTITY_AT);
  if (!table.covers(address, quantity)) return outsideMap(row.code);
  const reply = blankReadPdu(row, quantity);
  for (let index = 0; index < quantity; index += 1) {
    putValue(reply, READ_VALUES_AT, index, row.valueBits, table.read(address + index));
  }
  return reply;
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
  return firstFieldsOf(pdu);
}

/** Functions 0F and 10: two passes over the run, so that a refusal in its middle leaves nothing half done. */
function answerWriteMany(pdu: Uint8Array, row: RowOf<'writeMany'>, table: WritableTable): Uint8Array {
  const fault = structureFault(pdu, row);
  if (fault !== undefined) return exceptionPdu(row.code, fault);
  const address = u16At(pdu, ADDRESS_AT);
  const quantity = u16At(pdu, QUANTITY_AT);
  if (!table.covers(address, quantity)) return outsideMap(row.code);
  for (let index = 0; index < quantity; index += 1) {
    const refusal = table.refuses(address + index, valueAt(pdu, VALUES_AT, index, row.valueBits));
    if (refusal !== undefined) return exceptionPdu(row.code, refusal);
  }
  for (let index = 0; index < quantity; index += 1) {
    table.write(address + index, valueAt(pdu, VALUES_AT, index, row.valueBits));
  }
  return firstFieldsOf(pdu);
}

function outsideMap(functionCode: number): Uint8Array {
  return exceptionPdu(functionCode, EXCEPTIONS.illegalDataAddress.code);
}

/** Every write answers with its own code, address, and value or quantity (6.5, 6.6, 6.11, 6.12). */
function firstFieldsOf(pdu: Uint8Array): Uint8Array {
  const reply = new Uint8Array(SHORT_BYTES);
  for (let at = 0; at < SHORT_BYTES; at += 1) reply[at] = byteAt(pdu, at);
  return reply;
}
