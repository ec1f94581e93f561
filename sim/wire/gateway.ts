/**
 * A gateway between Modbus TCP and a serial line: how long an exchange takes there, and what the gateway says
 * where the device does not. It checks a frame's sum and unit, and passes the rest on as it came.
 *
 * Times: MB-SER 2.5.1.1. Exceptions 0A and 0B: MB-APP section 7.
 */
import {
  atOnce,
  CRC_BYTES,
  type Emission,
  EXCEPTIONS,
  encodeRtu,
  exceptionPdu,
  frameMs,
  isSoundRtu,
  RTU_OVERHEAD_BYTES,
  serialTimes,
  UNIT_MAX,
  type WireAnswer,
} from '../../src/modbus/index.ts';
import type { Pace } from '../../src/rig/index.ts';

export interface GatewayAnswer {
  readonly pdu: Uint8Array;
  /** Since the request went out on the serial line. */
  readonly afterMs: number;
}

/** After a broadcast the devices get time to act before the next request (MB-SER 2.4.1: 100 to 200 ms). */
const TURNAROUND_MS = 100;
const US_PER_MS = 1000;

export function hasNoPath(unitId: number): boolean {
  return unitId > UNIT_MAX;
}

export function noPath(pdu: Uint8Array): Uint8Array {
  return exceptionPdu(pdu[0] ?? 0, EXCEPTIONS.gatewayPathUnavailable.code);
}

/** How long the line is taken by a broadcast. */
export function broadcastMs(pdu: Uint8Array, pace: Pace): number {
  return pduMs(pdu.length, pace) + TURNAROUND_MS;
}

/** What the gateway answers to a request, given what the device puts on the serial line. */
export function throughGateway(
  unitId: number,
  request: Uint8Array,
  answer: WireAnswer,
  pace: Pace,
): GatewayAnswer {
  const askedMs = pduMs(request.length, pace);
  const heard = soundFrame(emissionOf(unitId, answer, pace), unitId, pace);
  if (heard === null) {
    const pdu = exceptionPdu(request[0] ?? 0, EXCEPTIONS.gatewayTargetFailedToRespond.code);
    return { pdu, afterMs: askedMs + pace.timeoutMs };
  }
  return { pdu: heard.pdu, afterMs: askedMs + heard.afterMs + pduMs(heard.pdu.length, pace) };
}

function emissionOf(unitId: number, answer: WireAnswer, pace: Pace): Emission {
  if (answer === undefined) return { parts: [], hangsUp: false };
  if (answer instanceof Uint8Array) return atOnce(encodeRtu(unitId, answer));
  return answer.emission({ kind: 'rtu', silenceMs: serialTimes(pace).silenceUs / US_PER_MS });
}

/** The first whole frame that names the unit; one that names another lets the time run on (MB-SER 2.4.1). */
function soundFrame({ parts }: Emission, unitId: number, pace: Pace): GatewayAnswer | null {
  let heard = new Uint8Array(0);
  for (const { afterMs, bytes } of parts) {
    if (afterMs > pace.timeoutMs) break;
    heard = Uint8Array.of(...heard, ...bytes);
    if (!isSoundRtu(heard)) continue;
    if (heard[0] === unitId) return { pdu: heard.slice(1, -CRC_BYTES), afterMs };
    heard = new Uint8Array(0);
  }
  return null;
}

/** A frame around a PDU of so many bytes, and the silence after it. */
function pduMs(pduBytes: number, pace: Pace): number {
  return frameMs(RTU_OVERHEAD_BYTES + pduBytes, pace);
}
