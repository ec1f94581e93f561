/**
 * What goes out on a wire for one request, sound or not, and what a careful client makes of it.
 *
 * Whoever sends and whoever listens agree on it here: the live face writes an emission as real bytes, the
 * virtual wire has it read by `receive`, which takes bytes as our bus clients do.
 */
import { u16At } from './bytes.ts';
import { EXCEPTION_FLAG } from './exceptions.ts';
import { HEADER_BYTES } from './mbap.ts';
import type { Request } from './messages.ts';
import { decodeResponse } from './pdu.ts';
import { rtuAnswer, rtuMismatch } from './rtu-answer.ts';

/** Bytes of one answer, each part at its time after the request. */
export interface Emission {
  /** In the order of their times. */
  readonly parts: readonly { readonly afterMs: number; readonly bytes: Uint8Array }[];
  /** The connection is closed after the last part, where there is one. */
  readonly hangsUp: boolean;
}

/** How a PDU is wrapped: with a transaction number before it (Modbus TCP), or a checksum after it (RTU). */
export type Framing =
  | { readonly kind: 'mbap'; readonly transactionId: number }
  | { readonly kind: 'rtu' /** What parts two frames. */; readonly silenceMs: number };

/** For what is the same whatever number and silence an answer has: when it comes, what can be heard of it. */
export const ANY_FRAMING = {
  mbap: { kind: 'mbap', transactionId: 1 },
  rtu: { kind: 'rtu', silenceMs: 2 },
} as const satisfies Readonly<Record<Framing['kind'], Framing>>;

/** A whole frame that goes out at once. */
export function atOnce(bytes: Uint8Array): Emission {
  return { parts: [{ afterMs: 0, bytes }], hangsUp: false };
}

/** An answer that does not go out as it should, in the frame of its request. */
export interface Disturbed {
  emission(framing: Framing): Emission;
}

/** The PDU of a sound answer that goes out at once, an answer that is disturbed, or silence. */
export type WireAnswer = Uint8Array | Disturbed | undefined;

/** afterMs: when that was certain; at the end of the time-out where nothing before it told. */
export type Received = { readonly afterMs: number } & (
  | { readonly kind: 'answered'; readonly pdu: Uint8Array }
  | { readonly kind: 'refused'; readonly exception: number }
  | { readonly kind: 'mismatched'; readonly field: string }
  /** No frame that names the request came whole. */
  | { readonly kind: 'nothing' }
);

export interface AskedOnWire {
  readonly framing: Framing;
  readonly unitId: number;
  readonly request: Request;
  readonly timeoutMs: number;
}

const LENGTH_AT = 4;
const UNIT_AT = 6;
/** Where the bytes that the length field counts begin. */
const COUNTED_FROM = 6;

/** What comes after the time-out is not heard. */
export function receive({ parts }: Emission, asked: AskedOnWire): Received {
  const inTime = parts.filter(({ afterMs }) => afterMs <= asked.timeoutMs);
  return asked.framing.kind === 'mbap'
    ? receiveMbap(inTime, asked.framing.transactionId, asked)
    : receiveRtu(inTime, asked);
}

/** The first frame with the request's transaction id decides; others are nobody's, and waited past. */
function receiveMbap(parts: Emission['parts'], transactionId: number, asked: AskedOnWire): Received {
  let stream = new Uint8Array(0);
  for (const { afterMs, bytes } of parts) {
    stream = Uint8Array.of(...stream, ...bytes);
    for (let end = frameEnd(stream); end !== null; end = frameEnd(stream)) {
      const frame = stream.subarray(0, end);
      if (u16At(frame, 0) === transactionId) return readMbap(frame, asked, afterMs);
      stream = stream.slice(end);
    }
  }
  return { kind: 'nothing', afterMs: asked.timeoutMs };
}

/** Where the first frame ends by its own length field; null while that has not come. */
function frameEnd(stream: Uint8Array): number | null {
  if (stream.length < HEADER_BYTES) return null;
  const end = COUNTED_FROM + u16At(stream, LENGTH_AT);
  return stream.length < end ? null : end;
}

/** An exception is taken whoever sends it, as the library does: it carries no number to be wrong about. */
function readMbap(frame: Uint8Array, asked: AskedOnWire, afterMs: number): Received {
  const pdu = frame.subarray(HEADER_BYTES);
  const refused = refusalIn(pdu, asked, afterMs);
  if (refused !== null) return refused;
  if (frame[UNIT_AT] !== asked.unitId) return { kind: 'mismatched', field: 'unitId', afterMs };
  return readPdu(pdu, asked, afterMs);
}

function receiveRtu(parts: Emission['parts'], asked: AskedOnWire): Received {
  let heard = new Uint8Array(0);
  for (const { afterMs, bytes } of parts) {
    heard = Uint8Array.of(...heard, ...bytes);
    const pdu = rtuAnswer(heard, asked);
    if (pdu !== null) return refusalIn(pdu, asked, afterMs) ?? readPdu(pdu, asked, afterMs);
  }
  const field = rtuMismatch(heard, asked);
  const afterMs = asked.timeoutMs;
  return field === null ? { kind: 'nothing', afterMs } : { kind: 'mismatched', field, afterMs };
}

function refusalIn(pdu: Uint8Array, { request }: AskedOnWire, afterMs: number): Received | null {
  const exception = pdu[1];
  const refused = pdu[0] === (request.functionCode | EXCEPTION_FLAG) && exception !== undefined;
  return refused ? { kind: 'refused', exception, afterMs } : null;
}

function readPdu(pdu: Uint8Array, { request }: AskedOnWire, afterMs: number): Received {
  const response = decodeResponse(pdu, request);
  return response.kind === 'mismatched' ? { ...response, afterMs } : { kind: 'answered', pdu, afterMs };
}
