/**
 * Which answers may still come that nobody waits for any more.
 *
 * RTU has no transaction number. When a request was given up, its answer may come yet, in the middle of the
 * next exchange, and pass for the answer to it wherever the two look alike: same unit, same function, same
 * length. So a question whose answer would look like one that is owed must wait until the line has been quiet
 * for one time-out. "Quiet" is a line on which nothing came but answers to what was asked. The same question
 * may be put again at once: its late answer answers it, and is at most one time-out old. A late exception may
 * pass for another's; it carries no number to be wrong about. Nor does a write wait: a trip must not, and
 * what it did is read back.
 */
import { encodeRequest, responseBytes, type TableRequest } from '../modbus/index.ts';

interface Owed {
  readonly requests: readonly TableRequest[];
  /** When the last of them was sent in vain, or answered by who knows which of their answers. */
  readonly sinceMs: number;
}

const NOTHING_BEGUN = new Uint8Array(0);

export class OwedAnswers {
  readonly #byUnit = new Map<number, Owed>();
  #strayMs = Number.NEGATIVE_INFINITY;

  /** Bytes came that belong to no answer that was waited for. */
  stray(nowMs: number): void {
    this.#strayMs = nowMs;
  }

  /** A request was given up: its answer may come yet. */
  gaveUp(unitId: number, request: TableRequest, nowMs: number): void {
    const owed = this.#byUnit.get(unitId)?.requests ?? [];
    const others = owed.filter((one) => !isSame(one, request));
    this.#byUnit.set(unitId, { requests: [...others, request], sinceMs: nowMs });
  }

  /** A request was answered; where the unit owed answers, nobody knows which of them this was. */
  answered(unitId: number, request: TableRequest, nowMs: number): void {
    if (this.#byUnit.has(unitId)) this.gaveUp(unitId, request, nowMs);
  }

  /** How long a request must wait as things are; none where it may go out. Forgets what time has settled. */
  waitMs(unitId: number, request: TableRequest, timeoutMs: number, nowMs: number): number {
    if (request.kind !== 'read') return 0;
    const owed = this.#byUnit.get(unitId);
    if (owed === undefined) return 0;
    const leftMs = Math.max(owed.sinceMs, this.#strayMs) + timeoutMs - nowMs;
    if (leftMs > 0) return owed.requests.some((one) => looksAlike(one, request)) ? leftMs : 0;
    this.#byUnit.delete(unitId);
    return 0;
  }
}

/** Whether an answer to the one could pass for one to the other, though they ask for different things. */
function looksAlike(one: TableRequest, other: TableRequest): boolean {
  const bytes = (request: TableRequest): number => responseBytes(request, NOTHING_BEGUN);
  return one.functionCode === other.functionCode && bytes(one) === bytes(other) && !isSame(one, other);
}

function isSame(one: TableRequest, other: TableRequest): boolean {
  return one === other || String(encodeRequest(one)) === String(encodeRequest(other));
}
