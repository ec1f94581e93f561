/**
 * What goes out on a Modbus TCP wire for one request, sound or not, and what a careful client makes of it.
 *
 * Whoever sends and whoever listens agree on it here: the live face writes an emission as real bytes, the
 * virtual wire has it read by `receive`, which takes bytes as our bus client does over a socket.
 */
import { u16At } from './bytes.ts';
import { EXCEPTION_FLAG } from './exceptions.ts';
import { HEADER_BYTES } from './mbap.ts';
import type { Request } from './messages.ts';
import { decodeResponse } from './pdu.ts';

/** Bytes of one answer, each part at its time after the request. */
export interface Emission {
  /** In the order of their times. */
  readonly parts: readonly { readonly afterMs: number; readonly bytes: Uint8Array }[];
  /** The connection is closed after the last part. */
  readonly hangsUp: boolean;
}

/** An answer that does not go out as it should; a frame carries the transaction id of its request. */
export interface Disturbed {
  emission(transactionId: number): Emission;
}

/** The PDU of a sound answer that goes out at once, an answer that is disturbed, or silence. */
export type WireAnswer = Uint8Array | Disturbed | undefined;

/** afterMs: when the last byte came that told so. */
export type Received =
  | { readonly kind: 'answered'; readonly pdu: Uint8Array; readonly afterMs: number }
  | { readonly kind: 'refused'; readonly exception: number; readonly afterMs: number }
  | { readonly kind: 'mismatched'; readonly field: string; readonly afterMs: number }
  /** No frame that names the request came whole. */
  | { readonly kind: 'nothing' };

export interface AskedOnWire {
  readonly transactionId: number;
  readonly unitId: number;
  readonly request: Request;
}

const LENGTH_AT = 4;
const UNIT_AT = 6;
/** Where the bytes that the length field counts begin. */
const COUNTED_FROM = 6;

/** The first frame with the request's transaction id decides; others are nobody's, and waited past. */
export function receive(emission: Emission, asked: AskedOnWire): Received {
  let stream = new Uint8Array(0);
  for (const { afterMs, bytes } of emission.parts) {
    stream = Uint8Array.of(...stream, ...bytes);
    for (let end = frameEnd(stream); end !== null; end = frameEnd(stream)) {
      const frame = stream.subarray(0, end);
      if (u16At(frame, 0) === asked.transactionId) return read(frame, asked, afterMs);
      stream = stream.slice(end);
    }
  }
  return { kind: 'nothing' };
}

/** Where the first frame ends by its own length field; null while that has not come. */
function frameEnd(stream: Uint8Array): number | null {
  if (stream.length < HEADER_BYTES) return null;
  const end = COUNTED_FROM + u16At(stream, LENGTH_AT);
  return stream.length < end ? null : end;
}

/** An exception is taken whoever sends it, as the library does: it carries no number to be wrong about. */
function read(frame: Uint8Array, { unitId, request }: AskedOnWire, afterMs: number): Received {
  const pdu = frame.subarray(HEADER_BYTES);
  const exception = pdu[1];
  if (pdu[0] === (request.functionCode | EXCEPTION_FLAG) && exception !== undefined) {
    return { kind: 'refused', exception, afterMs };
  }
  if (frame[UNIT_AT] !== unitId) return { kind: 'mismatched', field: 'unitId', afterMs };
  const response = decodeResponse(pdu, request);
  return response.kind === 'mismatched' ? { ...response, afterMs } : { kind: 'answered', pdu, afterMs };
}
