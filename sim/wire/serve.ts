/** What a face asks of whoever owns the devices, and what it may hear: an answer, or one that comes later. */
import type { WireAnswer } from '../../src/modbus/index.ts';
import type { UnitId } from '../../src/units/brands.ts';

/**
 * Answers a request PDU in the name of a unit; undefined where nobody owns that unit: silence, as on a
 * serial line. The pdu is a view of the face's bytes: copy what must outlast the call.
 */
export type Serve = (unitId: UnitId, pdu: Uint8Array) => WireAnswer | Later;

/** The answer to a request that has to wait for its turn. */
export interface Later {
  /** Where the answer is to go. Said once, at once: the answer never comes before. */
  to(take: (answer: WireAnswer) => void): void;
  /** Nobody waits for it any more: what has not been carried out by now never will be. */
  drop(): void;
}

/** The answers that one conversation still waits for. */
export interface Awaited {
  readonly add: (later: Later, take: (answer: WireAnswer) => void) => void;
  readonly dropAll: () => void;
}

export function isLater(answer: WireAnswer | Later): answer is Later {
  // Bytes are by far the most frequent, and soonest told.
  return !(answer instanceof Uint8Array) && answer !== undefined && 'drop' in answer;
}

export function awaited(): Awaited {
  const open = new Set<Later>();
  return {
    add(later, take) {
      open.add(later);
      later.to((answer) => {
        open.delete(later);
        take(answer);
      });
    },
    dropAll() {
      for (const later of open) later.drop();
      open.clear();
    },
  };
}
