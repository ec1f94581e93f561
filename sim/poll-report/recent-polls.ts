/**
 * The last few requests to each planned address, and what came of them: for a picture of the line as it is
 * now. Of a busy line every request passes here, so one costs a slot that is written anew and nothing else.
 */
import { EXCEPTION_FLAG } from '../../src/modbus/index.ts';
import type { Rig } from '../../src/rig/index.ts';
import type { Observation } from '../world/observation.ts';

export type PollOutcome = 'answered' | 'silent' | 'exception' | 'broken' | 'waiting';

export interface RecentUnit {
  readonly name: string;
  readonly line: string;
  readonly unitId: number;
  /** The newest last. */
  readonly recent: { atMs: number; outcome: PollOutcome }[];
}

interface Slot {
  atMs: number;
  /** What will have come of it at `knownMs`. */
  outcome: PollOutcome;
  knownMs: number;
}

interface Ring {
  readonly name: string;
  readonly line: string;
  readonly unitId: number;
  readonly timeoutMs: number;
  readonly slots: readonly Slot[];
  /** Requests so far; the last is in the slot before `count`. */
  count: number;
}

const SLOTS = 12;

export class RecentPolls {
  readonly #rings: readonly Ring[];
  readonly #byLine: ReadonlyMap<string, ReadonlyMap<number, Ring>>;

  constructor({ sensors, fieldIo, lines }: Rig) {
    const asked = [
      ...sensors.flatMap((one) =>
        one.kind === 'modbus' ? [{ name: one.id, line: one.line, unitId: one.unitId }] : [],
      ),
      { name: 'fieldIo', line: fieldIo.line, unitId: fieldIo.unitId },
    ];
    const timeouts = new Map(lines.map(({ id, timeoutMs }) => [id, timeoutMs]));
    this.#rings = asked.map((one) => newRing({ ...one, timeoutMs: timeouts.get(one.line) ?? 0 }));
    this.#byLine = new Map(
      lines.map(({ id }) => [
        id,
        new Map(this.#rings.filter(({ line }) => line === id).map((ring) => [ring.unitId, ring])),
      ]),
    );
  }

  /** Hand this to the world as its observer. */
  readonly observe = (seen: Observation): void => {
    if (seen.kind !== 'asked' && seen.kind !== 'sent' && seen.kind !== 'answered') return;
    const ring = this.#byLine.get(seen.line)?.get(seen.unitId);
    if (ring === undefined) return;
    if (seen.kind === 'asked') ring.count += 1;
    const slot = ring.slots[(ring.count - 1) % SLOTS];
    if (slot === undefined) return;
    if (seen.kind === 'asked') {
      slot.atMs = seen.atMs;
      // Until something is told: a device that says nothing is told of by nobody.
      slot.outcome = 'silent';
      slot.knownMs = seen.atMs + ring.timeoutMs;
    } else if (seen.kind === 'sent') {
      tellSent(slot, seen, ring.timeoutMs);
    } else {
      slot.outcome = ((seen.pdu[0] ?? 0) & EXCEPTION_FLAG) === 0 ? 'answered' : 'exception';
      slot.knownMs = seen.heardAtMs;
    }
  };

  picture(nowMs: number): RecentUnit[] {
    return this.#rings.map((ring) => {
      const { name, line, unitId, slots, count } = ring;
      const kept = Math.min(count, SLOTS);
      const recent = Array.from({ length: kept }, (_, index) => {
        const { atMs, outcome, knownMs } = slots[(count - kept + index) % SLOTS] ?? EMPTY;
        return { atMs, outcome: knownMs > nowMs ? 'waiting' : outcome };
      });
      return { name, line, unitId, recent };
    });
  }
}

const EMPTY: Slot = { atMs: 0, outcome: 'silent', knownMs: 0 };

function newRing(of: Omit<Ring, 'slots' | 'count'>): Ring {
  return { ...of, slots: Array.from({ length: SLOTS }, () => ({ ...EMPTY })), count: 0 };
}

/** `answered` follows where a careful client takes what was sent for the answer. */
function tellSent(
  slot: Slot,
  { sentAtMs, exception }: Extract<Observation, { kind: 'sent' }>,
  timeoutMs: number,
): void {
  // Whoever asked had given it up by then.
  if (sentAtMs === null || sentAtMs - slot.atMs > timeoutMs) return;
  slot.outcome = exception === null ? 'broken' : 'exception';
  slot.knownMs = sentAtMs;
}
