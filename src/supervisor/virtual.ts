/**
 * The supervisor in virtual time: the same core as the live shell, against a wire that answers at once, late,
 * as it should not or, after the time-out, never. No promise, no timer: the host says when it is what time.
 */
import type { Fact } from '../events/index.ts';
import type { PowerUp } from '../mitigation/index.ts';
import {
  ANY_FRAMING,
  encodeRequest,
  type Framing,
  type Request,
  receive,
  sameBytes,
  type WireAnswer,
} from '../modbus/index.ts';
import type { Outcome, Task } from '../poll/index.ts';
import type { Ms } from '../units/index.ts';
import { Asking } from './asking.ts';
import { calmUntilMs, goneRound } from './calm.ts';
import {
  isWriteDue,
  lookAgain,
  nextLookMs,
  nextTask,
  recorded,
  type SupervisorState,
  type SupervisorStep,
  startSupervisor,
  taskDone,
} from './core.ts';
import { outcomeOf, outcomeOfPdu, SILENT } from './outcome-of.ts';
import { type Addressed, requestsOf, type SupervisorPlan } from './plan.ts';
import type { Words } from './understand.ts';

/** A wire in virtual time. */
export type VirtualWire = (line: string, unitId: number, pdu: Uint8Array, now: Ms) => WireAnswer;

/** Of a line, as much as it takes to ask on it. */
export interface VirtualLine {
  readonly id: string;
  readonly framing: Framing['kind'];
  readonly timeoutMs: Ms;
}

/** What came of one request, and how long after it that was certain. */
interface Certain {
  readonly outcome: Outcome<ArrayLike<number>>;
  readonly afterMs: number;
}

/** A task whose requests are asked one after the other. */
interface Turn {
  readonly task: Task;
  readonly askedAtMs: Ms;
  readonly asking: Asking;
}

/** A request that is not certain at once keeps its line waiting until it is: at the latest, the time-out. */
interface Waiting {
  readonly turn: Turn;
  readonly outcome: Certain['outcome'];
}

export class VirtualSupervisor {
  readonly #plan: SupervisorPlan;
  readonly #wire: VirtualWire;
  readonly #tell: (facts: readonly Fact[]) => void;
  /** By line: when it next has something to do. */
  readonly #dueMs: number[];
  readonly #waiting: (Waiting | null)[];
  /** When to look without news: a silence may have become too long. */
  #lookDueMs = Number.POSITIVE_INFINITY;
  #state: SupervisorState;

  constructor(
    plan: SupervisorPlan,
    powerUp: PowerUp,
    wire: VirtualWire,
    tell: (facts: readonly Fact[]) => void,
    now: Ms,
  ) {
    this.#plan = plan;
    this.#wire = wire;
    this.#tell = tell;
    this.#state = startSupervisor(plan, powerUp, now);
    this.#dueMs = plan.lines.map(() => now);
    this.#waiting = plan.lines.map(() => null);
  }

  get state(): SupervisorState {
    return this.#state;
  }

  nextDueMs(): number {
    return Math.min(...this.#dueMs, this.#lookDueMs);
  }

  /** Does everything that is due at `now`; what comes of it may be due at `now` as well. */
  wake(now: Ms): void {
    if (now >= this.#lookDueMs) this.#take(lookAgain(this.#plan, this.#state, now), now);
    this.#dueMs.forEach((dueMs, line) => {
      if (dueMs <= now) this.#work(line, now);
    });
    if (isWriteDue(this.#plan, this.#state)) this.#hurryFieldIo(now);
    this.#lookDueMs = nextLookMs(this.#plan, this.#state, now);
  }

  /** See calmUntilMs; -Infinity while a line waits for an answer. */
  calmUntilMs(now: Ms): number {
    const waits = this.#waiting.some((one) => one !== null);
    return waits ? Number.NEGATIVE_INFINITY : calmUntilMs(this.#plan, this.#state, now);
  }

  /** Leaps over polls that bring nothing new, so much time of them. */
  leap(byMs: number): void {
    this.#state = goneRound(this.#state, byMs);
    for (const [line, dueMs] of this.#dueMs.entries()) this.#dueMs[line] = dueMs + byMs;
    this.#lookDueMs += byMs;
  }

  /** What one line found out must not wait until the field I/O's line begins its next cycle. */
  #hurryFieldIo(now: Ms): void {
    this.#plan.lines.forEach((line, index) => {
      if (line.fieldIo && this.#waiting[index] === null) this.#dueMs[index] = now;
    });
  }

  #work(line: number, now: Ms): void {
    const waited = this.#waiting[line];
    if (waited !== null && waited !== undefined) {
      this.#waiting[line] = null;
      waited.turn.asking.heard(waited.outcome);
      if (!this.#ask(line, waited.turn, now)) return;
    }
    for (;;) {
      const next = nextTask(this.#plan, this.#state, line, now);
      if (next.kind === 'wait') {
        this.#dueMs[line] = next.untilMs;
        return;
      }
      this.#state = next.state;
      const asking = new Asking(requestsOf(this.#plan, next.task, next.coils));
      if (!this.#ask(line, { task: next.task, askedAtMs: now, asking }, now)) return;
    }
  }

  /** Asks what is left of a turn; false where the line has to wait for what comes of it. */
  #ask(line: number, turn: Turn, now: Ms): boolean {
    const around = this.#plan.lines[line] ?? NO_LINE;
    const { task, askedAtMs, asking } = turn;
    for (let next = asking.next; next !== undefined; next = asking.next) {
      const { outcome, afterMs } = askVirtually(this.#wire, around, next, now);
      if (afterMs > 0) {
        this.#waiting[line] = { turn, outcome };
        this.#dueMs[line] = now + afterMs;
        return false;
      }
      asking.heard(outcome);
    }
    const poll = { askedAtMs, doneAtMs: now, outcome: asking.outcome };
    this.#take(taskDone(this.#plan, this.#state, line, task, poll), now);
    return true;
  }

  /** In virtual time the record is a list in memory: storing a release cannot fail. */
  #take(step: SupervisorStep, now: Ms): void {
    this.#state = step.state;
    if (step.facts.length > 0) this.#tell(step.facts);
    if (step.release === null) return;
    this.#tell([step.release]);
    this.#take(recorded(this.#plan, this.#state, now), now);
  }
}

/**
 * The requests of a task all at one moment, for a host that asks in a controller's place; what comes within
 * the time-out has come.
 */
export function performVirtually(
  wire: VirtualWire,
  line: VirtualLine | undefined,
  requests: readonly Addressed[],
  now: Ms,
): Outcome<Words> {
  const asking = new Asking(requests);
  for (let next = asking.next; next !== undefined; next = asking.next) {
    asking.heard(askVirtually(wire, line ?? NO_LINE, next, now).outcome);
  }
  return asking.outcome;
}

const NO_LINE: VirtualLine = { id: '', framing: 'mbap', timeoutMs: 0 as Ms };

/** One request, heard as the live bus client of the line hears it. */
function askVirtually(
  wire: VirtualWire,
  { id, framing, timeoutMs }: VirtualLine,
  { unitId, request }: Addressed,
  now: Ms,
): Certain {
  const known = knownOf(request);
  const answer = wire(id, unitId, known.pdu, now);
  if (answer === undefined) return { outcome: SILENT, afterMs: timeoutMs };
  if (answer instanceof Uint8Array) {
    if (known.certain === null || !sameBytes(answer, known.answer)) {
      known.answer = answer;
      known.certain = { outcome: outcomeOfPdu(answer, request), afterMs: 0 };
    }
    return known.certain;
  }
  const asked = { framing: ANY_FRAMING[framing], unitId, request, timeoutMs };
  const received = receive(answer.emission(asked.framing), asked);
  return { outcome: outcomeOf(received, request), afterMs: received.afterMs };
}

/** A request as it goes out, and the last whole answer to it with what that meant. */
interface Known {
  readonly pdu: Uint8Array;
  answer: Uint8Array;
  certain: Certain | null;
}

const KNOWN = new WeakMap<Request, Known>();

/** Requests go out again and again, the same object each time, and most answers are the one before. */
function knownOf(request: Request): Known {
  const known = KNOWN.get(request);
  if (known !== undefined) return known;
  const fresh: Known = { pdu: encodeRequest(request), answer: new Uint8Array(0), certain: null };
  KNOWN.set(request, fresh);
  return fresh;
}
