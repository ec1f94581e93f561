export { answer, type DataModel, type WritableTable } from './data-model.ts';
export { EXCEPTIONS, exceptionName, exceptionPdu } from './exceptions.ts';
export { FUNCTIONS, functionRow } from './functions.ts';
export { type Identification, identificationOf, type ObjectTexts } from './identification.ts';
export { encodeFrame, HEADER_BYTES, type Incoming, mbapParser, putFrame } from './mbap.ts';
export type { Request, Response, TableRequest } from './messages.ts';
export { decodeRequest, decodeResponse, encodeRequest, encodeResponse } from './pdu.ts';
export { type Range, readableTable, type WriteHooks, writableTable } from './range-table.ts';
export {
  type AskedOnWire,
  type Disturbed,
  type Emission,
  type Received,
  receive,
  type WireAnswer,
} from './wire-answer.ts';
