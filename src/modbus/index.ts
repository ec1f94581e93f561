export { answer, type DataModel, type WritableTable } from './data-model.ts';
export { EXCEPTIONS, exceptionName, exceptionPdu } from './exceptions.ts';
export { FUNCTIONS, functionRow } from './functions.ts';
export { encodeFrame, HEADER_BYTES, type Incoming, mbapParser, putFrame } from './mbap.ts';
export {
  decodeRequest,
  decodeResponse,
  encodeRequest,
  encodeResponse,
  type Request,
  type Response,
} from './pdu.ts';
export { type Range, readableTable, writableTable } from './range-table.ts';
