/**
 * What a careful client on a serial line makes of the bytes that follow its request.
 *
 * RTU has no transaction number: a frame is the answer when unit, function, length and checksum all say so,
 * wherever it begins, since the late words of another unit, or noise, may stand before it (MB-SER 2.4.1: an
 * answer of another unit keeps the time-out running). What is no such frame is judged when time is up.
 */
import { EXCEPTION_FLAG } from './exceptions.ts';
import type { Request } from './messages.ts';
import { responseBytes } from './pdu.ts';
import { CRC_BYTES, isSoundRtu, RTU_BYTES_MIN } from './rtu.ts';

export interface AskedOnRtu {
  readonly unitId: number;
  readonly request: Request;
}

const EXCEPTION_BYTES = 2;

/** The PDU of the answer, as soon as it is among the bytes; null while it is not. */
export function rtuAnswer(bytes: Uint8Array, asked: AskedOnRtu): Uint8Array | null {
  for (let at = 0; at + RTU_BYTES_MIN <= bytes.length; at += 1) {
    const pdu = answerAt(bytes, at, asked);
    if (pdu !== null) return pdu;
  }
  return null;
}

function answerAt(bytes: Uint8Array, at: number, { unitId, request }: AskedOnRtu): Uint8Array | null {
  if (bytes[at] !== unitId) return null;
  const code = bytes[at + 1];
  const refused = code === (request.functionCode | EXCEPTION_FLAG);
  if (!refused && code !== request.functionCode) return null;
  const pduBytes = refused ? EXCEPTION_BYTES : responseBytes(request, bytes.subarray(at + 1));
  const end = at + 1 + pduBytes + CRC_BYTES;
  return isSoundRtu(bytes, at, end) ? bytes.slice(at + 1, end - CRC_BYTES) : null;
}

/** Why bytes without an answer in them are none, at the end of the time-out; null where there are none. */
export function rtuMismatch(
  bytes: Uint8Array,
  { unitId, request }: AskedOnRtu,
): 'checksum' | 'unitId' | 'functionCode' | 'length' | null {
  if (bytes.length === 0) return null;
  if (!isSoundRtu(bytes)) return 'checksum';
  if (bytes[0] !== unitId) return 'unitId';
  return bytes[1] === request.functionCode ? 'length' : 'functionCode';
}
