/**
 * Which answers may still come that nobody waits for any more.
 *
 * RTU has no transaction number. When a request was given up, its answer may come yet, in the middle of the
 * next exchange, and pass for the answer to it wherever the two look alike: same unit, same function, and the
 * same in what the asker goes by. So a question whose answer would look like one that is owed must wait until
 * the line has been quiet for one time-out. "Quiet" is a line on which nothing came but answers to what was
 * asked. The same question may be put again at once: its late answer answers it, and is at most one time-out
 * old.
 */
import { encodeRequest, type Request, responseBytes } from '../modbus/index.ts';

/** Whether the late answer to one could pass for that to the next: same unit, other words. */
export type MayPass = (owed: Request, next: Request) => boolean;

/**
 * For who goes by numbers: answers of one length. A late exception may pass for another's; it carries no
 * number to be wrong about. Nor does a write wait: a trip must not, and what it did is read back.
 */
export const numbersMayPass: MayPass = (owed, next) => {
  const bytes = (request: Request): number => responseBytes(request, NOTHING_BEGUN);
  return next.kind === 'read' && owed.functionCode === next.functionCode && bytes(owed) === bytes(next);
};

/** For who goes by refusals too ("it has no such registers"): exceptions to one function all look alike. */
export const refusalsMayPass: MayPass = (owed, next) => owed.functionCode === next.functionCode;

interface Owed {
  readonly requests: readonly Request[];
  /** When the last of them was sent in vain, or answered by who knows which of their answers. */
  readonly sinceMs: number;
}

const NOTHING_BEGUN = new Uint8Array(0);

export class OwedAnswers {
  readonly #mayPass: MayPass;
  readonly #byUnit = new Map<number, Owed>();
  #strayMs = Number.NEGATIVE_INFINITY;

  constructor(mayPass: MayPass) {
    this.#mayPass = mayPass;
  }

  /** Bytes came that belong to no answer that was waited for. */
  stray(nowMs: number): void {
    this.#strayMs = nowMs;
  }

  /** A request was given up: its answer may come yet. */
  gaveUp(unitId: number, request: Request, nowMs: number): void {
    const owed = this.#byUnit.get(unitId)?.requests ?? [];
    const others = owed.filter((one) => !isSame(one, request));
    this.#byUnit.set(unitId, { requests: [...others, request], sinceMs: nowMs });
  }

  /** A request was answered; where the unit owed answers, nobody knows which of them this was. */
  answered(unitId: number, request: Request, nowMs: number): void {
    if (this.#byUnit.has(unitId)) this.gaveUp(unitId, request, nowMs);
  }

  /** How long a request must wait as things are; none where it may go out. Forgets what time has settled. */
  waitMs(unitId: number, request: Request, timeoutMs: number, nowMs: number): number {
    const owed = this.#byUnit.get(unitId);
    if (owed === undefined) return 0;
    const leftMs = Math.max(owed.sinceMs, this.#strayMs) + timeoutMs - nowMs;
    const isAlike = (one: Request): boolean => this.#mayPass(one, request) && !isSame(one, request);
    if (leftMs > 0) return owed.requests.some(isAlike) ? leftMs : 0;
    this.#byUnit.delete(unitId);
    return 0;
  }
}

function isSame(one: Request, other: Request): boolean {
  return one === other || String(encodeRequest(one)) === String(encodeRequest(other));
}
