/**
 * Requests and responses as values, to bytes and back (MB-APP sections 4 to 7).
 *
 * Decoding meets a stranger's bytes, so trouble is a value; encoding meets our own, so trouble throws
 * RangeError.
 */
import { byteAt, isU16, packedBytes, putU16, putValue, U16_MAX, u16At, valueAt } from './bytes.ts';
import { EXCEPTION_FLAG, EXCEPTIONS, exceptionPdu, isExceptionCode } from './exceptions.ts';
import {
  FUNCTIONS,
  type FunctionCode,
  type FunctionRow,
  functionRow,
  type RowOf,
  type ValueRow,
} from './functions.ts';
import {
  decodeIdentifyRequest,
  decodeIdentifyResponse,
  encodeIdentifyRequest,
  encodeIdentifyResponse,
  identifyResponseBytes,
} from './identification-pdu.ts';
import type { ExceptionReply, MaskWrite, Mismatch, ReadWriteRequest, Request, Response } from './messages.ts';
import {
  ADDRESS_AT,
  BYTE_COUNT_AT,
  COIL_OFF,
  COIL_ON,
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

export type { ExceptionReply, Request, Response } from './messages.ts';

/** A function whose answer is a run of values. */
type ReadingRow = RowOf<'read' | 'readWrite'>;

/** Where a read's answer has its values: after the code and the byte count. */
export const READ_VALUES_AT = 2;

/** The PDU of a request. Throws RangeError on what no request may carry (quantity, address, value). */
export function encodeRequest(request: Request): Uint8Array {
  const row = FUNCTIONS[request.functionCode];
  const pdu = requestPdu(request);
  // What we send must pass the check that we hold others to.
  if (structureFault(pdu, row) !== undefined) throw new RangeError(`${row.name}: outside its limits`);
  return pdu;
}

function requestPdu(request: Request): Uint8Array {
  switch (request.kind) {
    case 'read':
      return shortPdu(FUNCTIONS[request.functionCode], request.address, request.quantity);
    case 'writeOne': {
      const row = FUNCTIONS[request.functionCode];
      return shortPdu(row, request.address, wireValue(row, request.value));
    }
    case 'writeMany':
      return runPdu(FUNCTIONS[request.functionCode], request.address, request.values);
    case 'maskWrite':
      return maskPdu(request);
    case 'readWrite':
      return readWritePdu(request);
    case 'identify':
      return encodeIdentifyRequest(request);
  }
}

/** A request's PDU as a value; a bad one as the exception it deserves: function (01), then structure (03). */
export function decodeRequest(pdu: Uint8Array): Request | ExceptionReply {
  const functionCode = byteAt(pdu, 0);
  const row = functionRow(functionCode);
  if (row === undefined) return { kind: 'exception', functionCode, code: EXCEPTIONS.illegalFunction.code };
  const fault = structureFault(pdu, row);
  if (fault !== undefined) return { kind: 'exception', functionCode, code: fault };
  if (row.shape === 'identify') return decodeIdentifyRequest(pdu);
  const address = u16At(pdu, ADDRESS_AT);
  const field = u16At(pdu, QUANTITY_AT);
  switch (row.shape) {
    case 'read':
      return { kind: 'read', functionCode: row.code, address, quantity: field };
    case 'writeOne':
      return { kind: 'writeOne', functionCode: row.code, address, value: singleValue(pdu, row) };
    case 'writeMany':
      return { kind: 'writeMany', functionCode: row.code, address, values: run(pdu, VALUES_AT, field, row) };
    case 'maskWrite': {
      const orMask = u16At(pdu, OR_MASK_AT);
      return { kind: 'maskWrite', functionCode: row.code, address, andMask: field, orMask };
    }
    case 'readWrite':
      return {
        kind: 'readWrite',
        functionCode: row.code,
        address,
        quantity: field,
        writeAddress: u16At(pdu, WRITE_ADDRESS_AT),
        values: run(pdu, WRITE_VALUES_AT, u16At(pdu, WRITE_QUANTITY_AT), row),
      };
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
    case 'readWrite':
      return readPdu(FUNCTIONS[response.functionCode], response.values);
    case 'writeOne':
    case 'maskWrite':
      return encodeRequest(response);
    case 'writeMany':
      return shortPdu(FUNCTIONS[response.functionCode], response.address, response.quantity);
    case 'identify':
      return encodeIdentifyResponse(response);
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
  switch (request.kind) {
    case 'read': {
      const values = readValues(pdu, request.quantity, FUNCTIONS[request.functionCode]);
      return values === null ? WRONG_LENGTH : { kind: 'read', functionCode: request.functionCode, values };
    }
    case 'readWrite': {
      const values = readValues(pdu, request.quantity, FUNCTIONS[request.functionCode]);
      return values === null
        ? WRONG_LENGTH
        : { kind: 'readWrite', functionCode: request.functionCode, values };
    }
    case 'writeOne': {
      const field = wireValue(FUNCTIONS[request.functionCode], request.value);
      return decodeEcho(pdu, [request.address, field], request);
    }
    case 'maskWrite':
      return decodeEcho(pdu, [request.address, request.andMask, request.orMask], request);
    case 'writeMany': {
      const { kind, address, values } = request;
      const done = { kind, functionCode: request.functionCode, address, quantity: values.length };
      return decodeEcho(pdu, [address, values.length], done);
    }
    case 'identify':
      return decodeIdentifyResponse(pdu, request);
  }
}

/** Bytes of the PDU that answers a request, other than an exception, as far as these bytes of it tell. */
export function responseBytes(request: Request, begun: Uint8Array): number {
  switch (request.kind) {
    case 'read':
    case 'readWrite':
      return READ_VALUES_AT + packedBytes(request.quantity, FUNCTIONS[request.functionCode].valueBits);
    case 'writeOne':
    case 'writeMany':
      return SHORT_BYTES;
    case 'maskWrite':
      return MASK_BYTES;
    case 'identify':
      return identifyResponseBytes(begun);
  }
}

const WRONG_LENGTH: Mismatch = { kind: 'mismatched', field: 'length' };

/** What was echoed, field by field after the code, is what was done (6.5, 6.6, 6.11, 6.12, 6.16). */
function decodeEcho(pdu: Uint8Array, fields: readonly number[], done: Response): Response | Mismatch {
  if (pdu.length !== ADDRESS_AT + 2 * fields.length) return WRONG_LENGTH;
  const isEcho = fields.every((field, index) => u16At(pdu, ADDRESS_AT + 2 * index) === field);
  return isEcho ? done : { kind: 'mismatched', field: 'echo' };
}

/** An exception is two bytes; a code that the standard does not list tells nothing that one could act on. */
function decodeException(pdu: Uint8Array, functionCode: FunctionCode): ExceptionReply | Mismatch {
  if (pdu.length !== 2) return WRONG_LENGTH;
  const code = byteAt(pdu, 1);
  if (!isExceptionCode(code)) return { kind: 'mismatched', field: 'exceptionCode' };
  return { kind: 'exception', functionCode, code };
}

/** The byte count must be the one that the quantity asked for implies, and the length must agree with it. */
function readValues(pdu: Uint8Array, quantity: number, row: ReadingRow): Uint16Array | null {
  const byteCount = packedBytes(quantity, row.valueBits);
  const right = pdu.length === READ_VALUES_AT + byteCount && pdu[1] === byteCount;
  return right ? run(pdu, READ_VALUES_AT, quantity, row) : null;
}

/** A read answer whose values are still zero; `putValue` puts them in from READ_VALUES_AT on. */
export function blankReadPdu(row: ReadingRow, quantity: number): Uint8Array {
  const byteCount = packedBytes(quantity, row.valueBits);
  const pdu = new Uint8Array(READ_VALUES_AT + byteCount);
  pdu[0] = row.code;
  pdu[1] = byteCount;
  return pdu;
}

/** Byte count, then the values (6.1 to 6.4, 6.17). */
function readPdu(row: ReadingRow, values: Uint16Array): Uint8Array {
  if (values.length < 1 || values.length > row.quantityMax)
    throw new RangeError(`${row.name}: ${values.length}`);
  const pdu = blankReadPdu(row, values.length);
  putRun(pdu, READ_VALUES_AT, values, row);
  return pdu;
}

/** A short PDU, then byte count and values (6.11, 6.12). */
function runPdu(row: ValueRow, address: number, values: Uint16Array): Uint8Array {
  const byteCount = packedBytes(values.length, row.valueBits);
  const pdu = new Uint8Array(VALUES_AT + byteCount);
  pdu.set(shortPdu(row, address, values.length));
  pdu[BYTE_COUNT_AT] = byteCount;
  putRun(pdu, VALUES_AT, values, row);
  return pdu;
}

/** Two masks after the address (6.16). */
function maskPdu({ functionCode, address, andMask, orMask }: MaskWrite): Uint8Array {
  const row = FUNCTIONS[functionCode];
  if (!isU16(orMask)) throw new RangeError(`${row.name}: OR mask ${orMask}`);
  const pdu = new Uint8Array(MASK_BYTES);
  pdu.set(shortPdu(row, address, andMask));
  putU16(pdu, OR_MASK_AT, orMask);
  return pdu;
}

/** What to read, then what to write and its values (6.17). */
function readWritePdu(request: ReadWriteRequest): Uint8Array {
  const { functionCode, address, quantity, writeAddress, values } = request;
  const row = FUNCTIONS[functionCode];
  const head = shortPdu(row, address, quantity);
  const written = runPdu(row, writeAddress, values);
  const pdu = new Uint8Array(head.length + written.length - ADDRESS_AT);
  pdu.set(head);
  pdu.set(written.subarray(ADDRESS_AT), WRITE_ADDRESS_AT);
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
function putRun(pdu: Uint8Array, at: number, values: Uint16Array, row: ValueRow): void {
  const valueMax = row.valueBits === 16 ? U16_MAX : 1;
  values.forEach((value, index) => {
    if (value > valueMax) throw new RangeError(`${row.name}: value ${value}`);
    putValue(pdu, at, index, row.valueBits, value);
  });
}

function run(pdu: Uint8Array, at: number, quantity: number, row: ValueRow): Uint16Array {
  const values = new Uint16Array(quantity);
  for (let index = 0; index < quantity; index += 1) values[index] = valueAt(pdu, at, index, row.valueBits);
  return values;
}

/** A single write's field: a register as it is, a coil as FF00 or 0000 (6.5). */
function wireValue(row: ValueRow, value: number): number {
  if (row.valueBits === 16) return value;
  if (value !== 0 && value !== 1) throw new RangeError(`${row.name}: value ${value}`);
  return value === 1 ? COIL_ON : COIL_OFF;
}
