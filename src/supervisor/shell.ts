/**
 * The supervisor live: one loop a line, a clock, a record; every decision is the core's.
 *
 * Tripping waits for nothing: facts go to the record after the next write has been put first in line.
 * Releasing waits for the record: where a release cannot be stored, nothing is let go, and it is tried again.
 */
import { performance } from 'node:perf_hooks';
import type { BenchClock } from '../clock/index.ts';
import type { Fact } from '../events/index.ts';
import { allOff, type PowerUp } from '../mitigation/index.ts';
import type { Outcome, Task, Timed } from '../poll/index.ts';
import type { Ms } from '../units/index.ts';
import type { BusClient } from './bus.ts';
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
import { coilsOf } from './field-io.ts';
import { type Addressed, requestsOf, type SupervisorPlan } from './plan.ts';
import type { PollSeen } from './poll-seen.ts';
import type { Words } from './understand.ts';

export interface SupervisorSurroundings {
  readonly clock: BenchClock;
  /** One bus a line, in the plan's order. */
  readonly buses: readonly BusClient[];
  /** Stores facts; throws where it cannot. */
  readonly store: (facts: readonly Fact[]) => void;
  /** Told when facts could not be stored; they are kept and tried again. */
  readonly storeFailed: (error: unknown) => void;
  /** Told of every poll, after it. */
  readonly polled?: (poll: PollSeen) => void;
}

/** More untold facts than this are not kept while the record fails: the newest say the most. */
const UNSTORED_MAX = 10_000;
/** A look at least this often, so that a fact waiting for the record is never long unstored. */
const LOOK_EVERY_MS = 1000;

export class Supervisor {
  readonly #plan: SupervisorPlan;
  readonly #around: SupervisorSurroundings;
  readonly #loops: readonly Promise<void>[];
  readonly #sleepers = new Set<() => void>();
  #state: SupervisorState;
  #running = true;
  #unstored: Fact[] = [];

  /** Starts polling at once. */
  constructor(plan: SupervisorPlan, powerUp: PowerUp, around: SupervisorSurroundings) {
    this.#plan = plan;
    this.#around = around;
    this.#state = startSupervisor(plan, powerUp, around.clock.now());
    this.#loops = [...plan.lines.map((_, line) => this.#pollLine(line)), this.#lookNowAndThen()];
  }

  get state(): SupervisorState {
    return this.#state;
  }

  /** Facts that wait for the record. */
  get unstored(): number {
    return this.#unstored.length;
  }

  /** Ends the loops, leaves compressors and heat off, and records an orderly stop. */
  async stop(): Promise<void> {
    await this.#end();
    const { phase, commands } = this.#state.mitigation;
    const unmitigated = phase.kind === 'running' || phase.kind === 'starting';
    const left = unmitigated ? allOff(this.#plan.circuits.length) : commands;
    const fieldIoLine = this.#plan.lines.findIndex((line) => line.fieldIo);
    const { outcome, doneAtMs } = await this.#perform(fieldIoLine, { kind: 'write' }, coilsOf(left));
    // Where the last write was lost, nobody knows what runs.
    const orderly = unmitigated && outcome.kind === 'answered';
    this.#unstored.push({
      id: 'supervisor.stopped',
      atMs: doneAtMs,
      fields: { state: phase.kind, unmitigated: orderly },
    });
    this.#store();
    this.#closeBuses();
  }

  /** Ends the loops at once, as a power cut does: nothing more is written or recorded. */
  async cut(): Promise<void> {
    this.#closeBuses();
    await this.#end();
  }

  async #pollLine(line: number): Promise<void> {
    while (this.#running) {
      const now = this.#around.clock.now();
      const next = nextTask(this.#plan, this.#state, line, now);
      if (next.kind === 'wait') {
        this.#store();
        await this.#sleepUntil(next.untilMs);
        continue;
      }
      const lateMs = this.#lateBy(line, next.state, now);
      this.#state = next.state;
      const beganReal = performance.now();
      const poll = await this.#perform(line, next.task, next.coils);
      if (this.#isOver()) return;
      this.#tellPoll(line, poll, performance.now() - beganReal, lateMs);
      this.#take(taskDone(this.#plan, this.#state, line, next.task, poll), poll.doneAtMs);
      if (next.task.kind === 'write') this.#store();
    }
  }

  /** Silence grows without news, so somebody must look. */
  async #lookNowAndThen(): Promise<void> {
    while (this.#running) {
      const now = this.#around.clock.now();
      await this.#sleepUntil(Math.min(nextLookMs(this.#plan, this.#state, now), now + LOOK_EVERY_MS) as Ms);
      if (this.#isOver()) return;
      const lookedMs = this.#around.clock.now();
      this.#take(lookAgain(this.#plan, this.#state, lookedMs), lookedMs);
    }
  }

  /** How late a cycle begins; null inside of one. */
  #lateBy(line: number, next: SupervisorState, now: Ms): number | null {
    const [lastMs, beganMs] = [this.#state, next].map(({ lines }) => lines[line]?.cycleStartMs ?? 0);
    if (lastMs === undefined || lastMs === beganMs) return null;
    return now - (lastMs + (this.#plan.lines[line]?.pollEveryMs ?? 0));
  }

  #tellPoll(line: number, { outcome }: Timed<Words>, tookMs: number, lateMs: number | null): void {
    const id = this.#plan.lines[line]?.id ?? '';
    this.#around.polled?.({ line: id, outcome: outcome.kind, tookMs, lateMs });
  }

  /** A method, because the answer may change across an await. */
  #isOver(): boolean {
    return !this.#running;
  }

  #take(step: SupervisorStep, now: Ms): void {
    this.#state = step.state;
    this.#unstored.push(...step.facts);
    if (step.release !== null) this.#letGo(step.release, now);
    // What one line found out must not wait until the field I/O's line begins its next cycle.
    if (isWriteDue(this.#state)) this.#wakeAll();
  }

  #letGo(release: Fact, now: Ms): void {
    this.#unstored.push(release);
    if (!this.#store()) {
      this.#unstored.pop();
      return;
    }
    const released = recorded(this.#plan, this.#state, now);
    this.#state = released.state;
    this.#unstored.push(...released.facts);
  }

  #store(): boolean {
    if (this.#unstored.length === 0) return true;
    try {
      this.#around.store(this.#unstored);
      this.#unstored = [];
      return true;
    } catch (error) {
      this.#unstored = this.#unstored.slice(-UNSTORED_MAX);
      this.#around.storeFailed(error);
      return false;
    }
  }

  async #perform(line: number, task: Task, coils: readonly boolean[]): Promise<Timed<Words>> {
    const { clock, buses } = this.#around;
    const askedAtMs = clock.now();
    const timeoutMs = clock.toReal(this.#plan.lines[line]?.timeoutMs ?? 0);
    const outcome = await performAll(buses[line], requestsOf(this.#plan, task, coils), timeoutMs);
    return { askedAtMs, doneAtMs: clock.now(), outcome };
  }

  #sleepUntil(atMs: Ms): Promise<void> {
    return new Promise((resolve) => {
      const wake = (): void => {
        this.#sleepers.delete(wake);
        cancel();
        resolve();
      };
      const cancel = this.#around.clock.at(atMs, wake);
      this.#sleepers.add(wake);
    });
  }

  #wakeAll(): void {
    for (const wake of [...this.#sleepers]) wake();
  }

  async #end(): Promise<void> {
    this.#running = false;
    this.#wakeAll();
    await Promise.all(this.#loops);
  }

  #closeBuses(): void {
    for (const bus of this.#around.buses) bus.close();
  }
}

/** The requests of a task one after the other; the first that is not answered is the outcome of all. */
async function performAll(
  bus: BusClient | undefined,
  requests: readonly Addressed[],
  timeoutMs: number,
): Promise<Outcome<Words>> {
  if (bus === undefined) throw new Error('a line without a bus');
  const answers: ArrayLike<number>[] = [];
  for (const { unitId, request } of requests) {
    const outcome = await bus.perform(unitId, request, timeoutMs);
    if (outcome.kind !== 'answered') return outcome;
    answers.push(outcome.answer);
  }
  return { kind: 'answered', answer: answers };
}
