/**
 * Requests and responses as values, to bytes and back (MB-APP sections 4 to 7).
 *
 * Addresses are PDU addresses, from 0. Values are 0 or 1 for bits, 0 to 65535 for registers. Decoding
 * meets a stranger's bytes, so trouble is a value; encoding meets our own, so trouble throws RangeError.
 */
import { byteAt, isU16, packedBytes, putU16, putValue, U16_MAX, u16At, valueAt } from './bytes.ts';
import {
  EXCEPTION_FLAG,
  EXCEPTIONS,
  type ExceptionCode,
  exceptionPdu,
  isExceptionCode,
} from './exceptions.ts';
import { FUNCTIONS, type FunctionCode, type FunctionRow, functionRow, type RowOf } from './functions.ts';
import {
  ADDRESS_AT,
  BYTE_COUNT_AT,
  COIL_OFF,
  COIL_ON,
  QUANTITY_AT,
  SHORT_BYTES,
  structureFault,
  VALUES_AT,
} from './request-check.ts';

/** A sound request: what `decodeRequest` made of a client's bytes, or what we are about to send. */
export type Request =
  | {
      readonly kind: 'read';
      readonly functionCode: RowOf<'read'>['code'];
      readonly address: number;
      readonly quantity: number;
    }
  | WriteOne
  | {
      readonly kind: 'writeMany';
      readonly functionCode: RowOf<'writeMany'>['code'];
      readonly address: number;
      readonly values: Uint16Array;
    };

/** Request and response alike: the response is an echo (6.5, 6.6). */
interface WriteOne {
  readonly kind: 'writeOne';
  readonly functionCode: RowOf<'writeOne'>['code'];
  readonly address: number;
  readonly value: number;
}

/** functionCode is the one of the request, whether we speak that function or not. */
export interface ExceptionReply {
  readonly kind: 'exception';
  readonly functionCode: number;
  readonly code: ExceptionCode;
}

/** What a server says to a request; a read's values are as many as were asked for. */
export type Response =
  | { readonly kind: 'read'; readonly functionCode: RowOf<'read'>['code']; readonly values: Uint16Array }
  | WriteOne
  | {
      readonly kind: 'writeMany';
      readonly functionCode: RowOf<'writeMany'>['code'];
      readonly address: number;
      readonly quantity: number;
    }
  | ExceptionReply;

/**
 * Why bytes are no answer to the request at hand. Such bytes must never pass for a reading: they may be
 * late, another unit's, or cut.
 */
export interface Mismatch {
  readonly kind: 'mismatched';
  readonly field: 'functionCode' | 'length' | 'echo' | 'exceptionCode';
}

/** Where a read's answer has its values: after the code and the byte count. */
export const READ_VALUES_AT = 2;

/** The PDU of a request. Throws RangeError on what no request may carry (quantity, address, value). */
export function encodeRequest(request: Request): Uint8Array {
  const row = FUNCTIONS[request.functionCode];
  switch (request.kind) {
    case 'read':
      return checked(shortPdu(row, request.address, request.quantity), row);
    case 'writeOne':
      return checked(shortPdu(row, request.address, wireValue(row, request.value)), row);
    case 'writeMany':
      return checked(runPdu(row, request.address, request.values), row);
  }
}

/** A request's PDU as a value; a bad one as the exception it deserves: function (01), then structure (03). */
export function decodeRequest(pdu: Uint8Array): Request | ExceptionReply {
  const functionCode = byteAt(pdu, 0);
  const row = functionRow(functionCode);
  if (row === undefined) return { kind: 'exception', functionCode, code: EXCEPTIONS.illegalFunction.code };
  const fault = structureFault(pdu, row);
  if (fault !== undefined) return { kind: 'exception', functionCode, code: fault };
  const address = u16At(pdu, ADDRESS_AT);
  const field = u16At(pdu, QUANTITY_AT);
  switch (row.shape) {
    case 'read':
      return { kind: 'read', functionCode: row.code, address, quantity: field };
    case 'writeOne':
      return { kind: 'writeOne', functionCode: row.code, address, value: singleValue(pdu, row) };
    case 'writeMany':
      return { kind: 'writeMany', functionCode: row.code, address, values: run(pdu, VALUES_AT, field, row) };
  }
}

/** The value that a sound single write carries, as a table holds it: a coil 0 or 1, a register as it is. */
export function singleValue(pdu: Uint8Array, row: RowOf<'writeOne'>): number {
  const field = u16At(pdu, QUANTITY_AT);
  return row.valueBits === 16 ? field : Number(field === COIL_ON);
}

/** The PDU of a response. A read's values must be within the function's limit, else RangeError. */
export function encodeResponse(response: Response): Uint8Array {
  switch (response.kind) {
    case 'read':
      return readPdu(FUNCTIONS[response.functionCode], response.values);
    case 'writeOne':
      return encodeRequest(response);
    case 'writeMany':
      return shortPdu(FUNCTIONS[response.functionCode], response.address, response.quantity);
    case 'exception':
      return exceptionPdu(response.functionCode, response.code);
  }
}

/**
 * A response's PDU as the answer to `request`, or how it fails to be one. Bits that pad a read's last byte
 * are left out of `values`. A bare response cannot be decoded: it does not say how many bits were asked.
 */
export function decodeResponse(pdu: Uint8Array, request: Request): Response | Mismatch {
  const { functionCode } = request;
  if (pdu[0] === (functionCode | EXCEPTION_FLAG)) return decodeException(pdu, functionCode);
  if (pdu[0] !== functionCode) return { kind: 'mismatched', field: 'functionCode' };
  if (request.kind === 'read') return decodeRead(pdu, request.quantity, FUNCTIONS[request.functionCode]);
  if (pdu.length !== SHORT_BYTES) return { kind: 'mismatched', field: 'length' };
  const echo = encodeRequest(request).subarray(0, SHORT_BYTES);
  if (echo.some((byte, at) => byte !== pdu[at])) return { kind: 'mismatched', field: 'echo' };
  // Here the answer is the request; what was echoed is what was done (6.5, 6.6, 6.11, 6.12).
  if (request.kind === 'writeOne') return request;
  const { kind, address, values } = request;
  return { kind, functionCode: request.functionCode, address, quantity: values.length };
}

/** An exception is two bytes; a code that the standard does not list tells nothing that one could act on. */
function decodeException(pdu: Uint8Array, functionCode: FunctionCode): ExceptionReply | Mismatch {
  if (pdu.length !== 2) return { kind: 'mismatched', field: 'length' };
  const code = byteAt(pdu, 1);
  if (!isExceptionCode(code)) return { kind: 'mismatched', field: 'exceptionCode' };
  return { kind: 'exception', functionCode, code };
}

/** The byte count must be the one that the quantity asked for implies, and the length must agree with it. */
function decodeRead(pdu: Uint8Array, quantity: number, row: RowOf<'read'>): Response | Mismatch {
  const byteCount = packedBytes(quantity, row.valueBits);
  if (pdu.length !== READ_VALUES_AT + byteCount || pdu[1] !== byteCount) {
    return { kind: 'mismatched', field: 'length' };
  }
  return { kind: 'read', functionCode: row.code, values: run(pdu, READ_VALUES_AT, quantity, row) };
}

/** A read answer whose values are still zero; `putValue` puts them in from READ_VALUES_AT on. */
export function blankReadPdu(row: RowOf<'read'>, quantity: number): Uint8Array {
  const byteCount = packedBytes(quantity, row.valueBits);
  const pdu = new Uint8Array(READ_VALUES_AT + byteCount);
  pdu[0] = row.code;
  pdu[1] = byteCount;
  return pdu;
}

/** Byte count, then the values (6.1 to 6.4). */
function readPdu(row: RowOf<'read'>, values: Uint16Array): Uint8Array {
  if (values.length < 1 || values.length > row.quantityMax)
    throw new RangeError(`${row.name}: ${values.length}`);
  const pdu = blankReadPdu(row, values.length);
  putRun(pdu, READ_VALUES_AT, values, row);
  return pdu;
}

/** A short PDU, then byte count and values (6.11, 6.12). */
function runPdu(row: FunctionRow, address: number, values: Uint16Array): Uint8Array {
  const byteCount = packedBytes(values.length, row.valueBits);
  const pdu = new Uint8Array(VALUES_AT + byteCount);
  pdu.set(shortPdu(row, address, values.length));
  pdu[BYTE_COUNT_AT] = byteCount;
  putRun(pdu, VALUES_AT, values, row);
  return pdu;
}

/** Code, address, and one more field: all of a read or a single write, the head of a run. */
function shortPdu(row: FunctionRow, address: number, field: number): Uint8Array {
  if (!isU16(address) || !isU16(field)) throw new RangeError(`${row.name}: address ${address}, ${field}`);
  const pdu = new Uint8Array(SHORT_BYTES);
  pdu[0] = row.code;
  putU16(pdu, ADDRESS_AT, address);
  putU16(pdu, QUANTITY_AT, field);
  return pdu;
}

/** Values that a bit or a register cannot hold would come out as others on the wire: refused here. */
function putRun(pdu: Uint8Array, at: number, values: Uint16Array, row: FunctionRow): void {
  const valueMax = row.valueBits === 16 ? U16_MAX : 1;
  values.forEach((value, index) => {
    if (value > valueMax) throw new RangeError(`${row.name}: value ${value}`);
    putValue(pdu, at, index, row.valueBits, value);
  });
}

function run(pdu: Uint8Array, at: number, quantity: number, row: FunctionRow): Uint16Array {
  return Uint16Array.from({ length: quantity }, (_, index) => valueAt(pdu, at, index, row.valueBits));
}

/** A single write's field: a register as it is, a coil as FF00 or 0000 (6.5). */
function wireValue(row: FunctionRow, value: number): number {
  if (row.valueBits === 16) return value;
  if (value !== 0 && value !== 1) throw new RangeError(`${row.name}: value ${value}`);
  return value === 1 ? COIL_ON : COIL_OFF;
}

/** What we send must pass the check that we hold others to. */
function checked(pdu: Uint8Array, row: FunctionRow): Uint8Array {
  if (structureFault(pdu, row) !== undefined) throw new RangeError(`${row.name}: outside its limits`);
  return pdu;
}
