export { BROADCAST, UNIT_MAX, UNIT_MIN } from './address.ts';
export { sameBytes } from './bytes.ts';
export { answer, type DataModel, type WritableTable } from './data-model.ts';
export { EXCEPTION_FLAG, EXCEPTIONS, exceptionName, exceptionPdu } from './exceptions.ts';
export { FUNCTIONS, functionRow } from './functions.ts';
export {
  type DeviceObject,
  type Identification,
  INDIVIDUAL,
  identificationOf,
  type ObjectTexts,
  type ReadCode,
} from './identification.ts';
export { encodeFrame, HEADER_BYTES, type Incoming, mbapParser, putFrame } from './mbap.ts';
export type { Request, Response, TableRequest } from './messages.ts';
export { decodeRequest, decodeResponse, encodeRequest, encodeResponse, responseBytes } from './pdu.ts';
export { type Range, readableTable, type WriteHooks, writableTable } from './range-table.ts';
export {
  CRC_BYTES,
  encodeRtu,
  frameMs,
  isSoundRtu,
  type Parity,
  RTU_BYTES_MAX,
  RTU_OVERHEAD_BYTES,
  type SerialSettings,
  serialTimes,
} from './rtu.ts';
export { rtuAnswer, rtuMismatch } from './rtu-answer.ts';
export { type RtuParser, type RtuPatience, type RtuRequest, rtuParser } from './rtu-parser.ts';
export {
  ANY_FRAMING,
  type AskedOnWire,
  atOnce,
  type Disturbed,
  type Emission,
  type Framing,
  type Received,
  receive,
  type WireAnswer,
} from './wire-answer.ts';
