/**
 * The MBAP header of Modbus TCP: frames to bytes, and a stream of bytes back to frames.
 *
 * Header, 7 bytes: transaction id 2, protocol id 2 (0 = Modbus), length 2 (bytes that follow: unit id and
 * PDU), unit id 1. Source: MODBUS Messaging on TCP/IP V1.0b (MB-TCP) 3.1.3. TCP keeps no frame borders, so
 * a header or body that is not complete means "no frame yet", never an error.
 */
import { type UnitId, unitId } from '../units/brands.ts';
import { byteAt, PDU_BYTES_MAX, putU16, u16At } from './bytes.ts';

export const HEADER_BYTES = 7;

/** Where the bytes that the length field counts begin. */
const COUNTED_FROM = 6;
/** A unit id and a function code at least, a unit id and the longest PDU at most. */
const LENGTH_MIN = 2;
const LENGTH_MAX = 1 + PDU_BYTES_MAX;
const FRAME_BYTES_MAX = COUNTED_FROM + LENGTH_MAX;

const PROTOCOL_AT = 2;
const LENGTH_AT = 4;
const UNIT_AT = 6;
const MODBUS_PROTOCOL = 0;

/** What came out of the stream; the pdu is a view that holds until the next `feed`. */
export type Incoming =
  | {
      readonly kind: 'frame';
      readonly transactionId: number;
      readonly unitId: UnitId;
      readonly pdu: Uint8Array;
    }
  /** A whole frame of another protocol: to be discarded in silence (MB-TCP); the next frame follows. */
  | { readonly kind: 'foreign'; readonly protocolId: number }
  /** A length that no frame can have: where the next frame begins cannot be known, nothing more will come. */
  | { readonly kind: 'lost'; readonly length: number };

/** Feed a chunk, take what is complete with `next` until it says undefined, feed the next one. */
export interface MbapParser {
  /** Throws RangeError if what was fed before has not been taken: the buffer would have no bound. */
  feed(chunk: Uint8Array): void;
  next(): Incoming | undefined;
  /** Bytes of a frame that is not complete; fewer than 260 once `next` has said undefined. */
  pendingBytes(): number;
}

/** The whole frame. Throws RangeError on a PDU that no frame can carry. */
export function encodeFrame(transactionId: number, unit: UnitId, pdu: Uint8Array): Uint8Array {
  if (pdu.length < 1 || pdu.length > PDU_BYTES_MAX) throw new RangeError(`a PDU of ${pdu.length} bytes`);
  const frame = new Uint8Array(HEADER_BYTES + pdu.length);
  putFrame(frame, 0, transactionId, unit, pdu);
  return frame;
}

/** Writes the frame into `into` from byte `at` on and returns where the next one may begin. */
export function putFrame(
  into: Uint8Array,
  at: number,
  transactionId: number,
  unit: UnitId,
  pdu: Uint8Array,
): number {
  putU16(into, at, transactionId);
  putU16(into, at + PROTOCOL_AT, MODBUS_PROTOCOL);
  putU16(into, at + LENGTH_AT, 1 + pdu.length);
  into[at + UNIT_AT] = unit;
  into.set(pdu, at + HEADER_BYTES);
  return at + HEADER_BYTES + pdu.length;
}

export function mbapParser(): MbapParser {
  let bytes: Uint8Array = new Uint8Array(0);
  let at = 0;
  let lost = false;
  const pendingBytes = (): number => bytes.length - at;
  return {
    pendingBytes,
    feed: (chunk) => {
      if (pendingBytes() >= FRAME_BYTES_MAX) throw new RangeError('the parser was not emptied');
      if (lost) return;
      // The usual chunk holds whole frames and is parsed where it lies; only a begun frame costs a copy.
      bytes = pendingBytes() === 0 ? chunk : joined(bytes.subarray(at), chunk);
      at = 0;
    },
    next: () => {
      const incoming = lost ? undefined : incomingAt(bytes, at);
      if (incoming === undefined) return undefined;
      lost = incoming.kind === 'lost';
      at = lost ? bytes.length : at + COUNTED_FROM + u16At(bytes, at + LENGTH_AT);
      return incoming;
    },
  };
}

/**
 * The frame that begins at this byte, as soon as enough of it is there to tell: a length that is nonsense
 * is known after six bytes, and waiting for so many more would only let a stranger hold the connection.
 */
function incomingAt(bytes: Uint8Array, at: number): Incoming | undefined {
  const available = bytes.length - at;
  if (available < COUNTED_FROM) return undefined;
  const length = u16At(bytes, at + LENGTH_AT);
  if (length < LENGTH_MIN || length > LENGTH_MAX) return { kind: 'lost', length };
  const end = at + COUNTED_FROM + length;
  if (bytes.length < end) return undefined;
  const protocolId = u16At(bytes, at + PROTOCOL_AT);
  if (protocolId !== MODBUS_PROTOCOL) return { kind: 'foreign', protocolId };
  return {
    kind: 'frame',
    transactionId: u16At(bytes, at),
    unitId: unitId(byteAt(bytes, at + UNIT_AT)),
    pdu: bytes.subarray(at + HEADER_BYTES, end),
  };
}

function joined(rest: Uint8Array, chunk: Uint8Array): Uint8Array {
  const whole = new Uint8Array(rest.length + chunk.length);
  whole.set(rest);
  whole.set(chunk, rest.length);
  return whole;
}
