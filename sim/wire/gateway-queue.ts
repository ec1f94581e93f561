/**
 * The one serial line behind a gateway: requests of all its clients, one after the other (MB-SER 2.1: one
 * transaction at a time).
 *
 * A device carries a request out when its turn has come, not when it reached the gateway, and the line is
 * taken until the answer is through; the answer says by itself after what time that is. No sockets and no
 * clock: `after` is given.
 */
import { ANY_FRAMING, BROADCAST, type WireAnswer } from '../../src/modbus/index.ts';
import type { Pace } from '../../src/rig/index.ts';
import type { UnitId } from '../../src/units/brands.ts';
import { broadcastMs, hasNoPath, noPath } from './gateway.ts';
import type { After } from './outlet.ts';
import type { Later, Serve } from './serve.ts';

export interface GatewayQueueOptions {
  readonly pace: Pace;
  /** Has the device answer, as the gateway passes it on. */
  readonly carryOut: (unitId: UnitId, pdu: Uint8Array) => WireAnswer;
  readonly after: After;
}

/**
 * Requests that may wait; to one more the gateway says at once that it is overloaded (MB-APP section 7, 0A).
 * MB-TCP counts 1 to 16 transactions a device: as many as one busy client may have under way.
 */
export const WAITING_MAX = 16;

interface Waiting {
  readonly unitId: UnitId;
  readonly pdu: Uint8Array;
  readonly take: (answer: WireAnswer) => void;
}

/** In place of the devices themselves. */
export function gatewayQueue({ pace, carryOut, after }: GatewayQueueOptions): Serve {
  const waiting = new Set<Waiting>();
  let taken = false;

  const takeLine = (ms: number): void => {
    taken = true;
    if (ms > 0) after(ms, next);
    else next();
  };
  const next = (): void => {
    taken = false;
    const [request] = waiting;
    if (request === undefined) return;
    waiting.delete(request);
    const { unitId, pdu, take } = request;
    const answer = carryOut(unitId, pdu);
    take(answer);
    takeLine(takenMs(unitId, pdu, answer, pace));
  };
  const queued = (unitId: UnitId, pdu: Uint8Array): Later => {
    let request: Waiting | undefined;
    return {
      to(take) {
        // The face's bytes are others by the time it is this request's turn.
        request = { unitId, pdu: Uint8Array.from(pdu), take };
        waiting.add(request);
      },
      drop() {
        if (request !== undefined) waiting.delete(request);
      },
    };
  };

  return (unitId, pdu) => {
    // For such a unit the gateway has no line to wait for.
    if (hasNoPath(unitId)) return carryOut(unitId, pdu);
    if (taken) return waiting.size < WAITING_MAX ? queued(unitId, pdu) : noPath(pdu);
    const answer = carryOut(unitId, pdu);
    takeLine(takenMs(unitId, pdu, answer, pace));
    return answer;
  };
}

/** How long a request has the line for itself, until the last of its answer is through. */
function takenMs(unitId: number, pdu: Uint8Array, answer: WireAnswer, pace: Pace): number {
  if (unitId === BROADCAST) return broadcastMs(pdu, pace);
  // Bytes that come at once, or nothing: the gateway did not use the line.
  if (answer === undefined || answer instanceof Uint8Array) return 0;
  const { parts } = answer.emission(ANY_FRAMING.mbap);
  return parts.at(-1)?.afterMs ?? 0;
}
