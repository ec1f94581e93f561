/**
 * The supervisor in virtual time: the same core as the live shell, against a wire that answers at once or,
 * after the time-out, never. No promise, no timer: the host says when it is what time.
 */
import type { Fact } from '../events/index.ts';
import type { PowerUp } from '../mitigation/index.ts';
import { decodeResponse, encodeRequest, type Request } from '../modbus/index.ts';
import type { Outcome, Task } from '../poll/index.ts';
import type { Ms } from '../units/index.ts';
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
import { type Addressed, requestsOf, type SupervisorPlan } from './plan.ts';
import type { Words } from './understand.ts';

/** A wire in virtual time: an answer's PDU, or undefined for silence. */
export type VirtualWire = (line: string, unitId: number, pdu: Uint8Array, now: Ms) => Uint8Array | undefined;

/** A request without an answer keeps its line waiting until the time-out. */
interface Waiting {
  readonly task: Task;
  readonly askedAtMs: Ms;
  readonly outcome: Outcome<Words>;
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
    if (isWriteDue(this.#state)) this.#hurryFieldIo(now);
    this.#lookDueMs = nextLookMs(this.#plan, this.#state, now);
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
      this.#finish(line, waited, now);
    }
    for (;;) {
      const next = nextTask(this.#plan, this.#state, line, now);
      if (next.kind === 'wait') {
        this.#dueMs[line] = next.untilMs;
        return;
      }
      this.#state = next.state;
      const requests = requestsOf(this.#plan, next.task, next.coils);
      const outcome = performVirtually(this.#wire, this.#plan.lines[line]?.id ?? '', requests, now);
      const asked = { task: next.task, askedAtMs: now, outcome };
      if (outcome.kind === 'silent') {
        this.#waiting[line] = asked;
        this.#dueMs[line] = now + (this.#plan.lines[line]?.timeoutMs ?? 0);
        return;
      }
      this.#finish(line, asked, now);
    }
  }

  #finish(line: number, { task, askedAtMs, outcome }: Waiting, now: Ms): void {
    const poll = { askedAtMs, doneAtMs: now, outcome };
    this.#take(taskDone(this.#plan, this.#state, line, task, poll), now);
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

/** The requests of a task one after the other; the first that is not answered is the outcome of all. */
export function performVirtually(
  wire: VirtualWire,
  line: string,
  requests: readonly Addressed[],
  now: Ms,
): Outcome<Words> {
  const answers: ArrayLike<number>[] = [];
  for (const { unitId, request } of requests) {
    const pdu = wire(line, unitId, pduOf(request), now);
    if (pdu === undefined) return { kind: 'silent' };
    const response = decodeResponse(pdu, request);
    if (response.kind === 'mismatched') return response;
    if (response.kind === 'exception') return { kind: 'refused', exception: response.code };
    answers.push(response.kind === 'read' ? response.values : []);
  }
  return { kind: 'answered', answer: answers };
}

const PDUS = new WeakMap<Request, Uint8Array>();

/** Reads go out again and again, the same object each time. */
function pduOf(request: Request): Uint8Array {
  const known = PDUS.get(request);
  if (known !== undefined) return known;
  const pdu = encodeRequest(request);
  PDUS.set(request, pdu);
  return pdu;
}
