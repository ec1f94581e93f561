/**
 * The supervisor live: one loop a line, a clock, a record; every decision is the core's.
 *
 * Tripping waits for nothing: facts go to the record after the next write has been put first in line.
 * Releasing waits for the record: where a release cannot be stored, nothing is let go, and it is tried again.
 * An error that nobody expected ends it: it leaves the equipment safe, says so, and decides nothing more.
 */
import { performance } from 'node:perf_hooks';
import type { BenchClock } from '../clock/index.ts';
import type { Fact } from '../events/index.ts';
import { within } from '../line/index.ts';
import { leftSafe, leftStopped, type PowerUp } from '../mitigation/index.ts';
import type { Task, Timed } from '../poll/index.ts';
import { messageOf } from '../text/message-of.ts';
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
import { lastWriteOn, performAll, writeLast } from './perform.ts';
import { requestsOf, type SupervisorPlan } from './plan.ts';
import type { PollSeen } from './poll-seen.ts';
import type { Words } from './understand.ts';
import { WaitingFacts } from './waiting-facts.ts';

export interface SupervisorSurroundings {
  readonly clock: BenchClock;
  /** One bus a line, in the plan's order. */
  readonly buses: readonly BusClient[];
  /** Stores facts; throws where it cannot. */
  readonly store: (facts: readonly Fact[]) => void;
  /** Told when facts could not be stored; they are kept and tried again. */
  readonly storeFailed: (error: unknown) => void;
  /** Told of the error that ended it; whoever runs the process must end that too. */
  readonly failed: (error: unknown) => void;
  /** Told of every poll, after it. */
  readonly polled?: (poll: PollSeen) => void;
}

/** A look at least this often: it finds what time has brought, and stores what no line comes to store. */
const LOOK_EVERY_MS = 1000;
/** A write that is due keeps the record waiting so long at most: a line may hang. */
const STORE_WITHIN_MS = 1000;
/** Real time for what is out on the wire, and for a request after that, once nothing can be trusted. */
const LEAVE_MS_MAX = 500;
/** Real time for the last write with all its tries, of the four seconds that a failing process has. */
const LEAVE_WRITE_MS_MAX = 2500;
/** Real time after which an orderly stop tries its last write no more. */
const STOP_WRITE_MS_MAX = 3000;

export class Supervisor {
  readonly #plan: SupervisorPlan;
  readonly #around: SupervisorSurroundings;
  readonly #loops: readonly Promise<void>[];
  readonly #sleepers = new Set<() => void>();
  #state: SupervisorState;
  #running = true;
  /** What still comes in counts; not after a power cut or an error. */
  #heeds = true;
  readonly #waiting = new WaitingFacts();
  #lookedAtMs: Ms;
  /** Since when facts wait for a write to go out; null where none do. */
  #writeDueSinceMs: Ms | null = null;
  #failing: Promise<void> | null = null;

  /** Starts polling at once. */
  constructor(plan: SupervisorPlan, powerUp: PowerUp, around: SupervisorSurroundings) {
    this.#plan = plan;
    this.#around = around;
    this.#lookedAtMs = around.clock.now();
    this.#state = startSupervisor(plan, powerUp, this.#lookedAtMs);
    this.#loops = [...plan.lines.map((_, line) => this.#pollLine(line)), this.#lookNowAndThen()];
    for (const loop of this.#loops) loop.catch((error: unknown) => void this.fail(error));
  }

  get state(): SupervisorState {
    return this.#state;
  }

  /** A fact about the supervisor itself, from whoever runs it; nothing is let go before it is stored. */
  tell(fact: Fact): void {
    this.#waiting.add(fact);
    this.#store();
  }

  /** Facts that wait for the record. */
  get unstored(): number {
    return this.#waiting.count;
  }

  /** Ends the loops, leaves compressors and heat off, and records an orderly stop. */
  async stop(): Promise<void> {
    await this.#end();
    if (this.#failing !== null) return this.#failing;
    // What time has brought since the last look, and what the last answers brought, still counts.
    this.#look(this.#around.clock.now());
    const { commands, unmitigated } = leftStopped(this.#state.mitigation);
    const coils = coilsOf(commands);
    const { line, tries } = lastWriteOn(this.#plan);
    const ask = async (task: Task) => (await this.#perform(line, task, coils)).outcome;
    const isWritten = await writeLast(ask, coils, tries, STOP_WRITE_MS_MAX);
    const failing = this.#failure();
    if (failing !== null) return failing;
    this.#waiting.add({
      id: 'supervisor.stopped',
      atMs: this.#around.clock.now(),
      fields: { state: this.#state.mitigation.phase.kind, unmitigated: unmitigated && isWritten },
    });
    this.#store();
    this.#closeBuses();
  }

  /** Ends the loops at once, as a power cut does: nothing more is written or recorded. */
  async cut(): Promise<void> {
    this.#heeds = false;
    this.#closeBuses();
    await this.#end();
  }

  /** Ends it on an error, its own or one of the process: safe where it can be, and said. Never rejects. */
  fail(error: unknown): Promise<void> {
    this.#failing ??= this.#leaveSafe(error);
    return this.#failing;
  }

  async #leaveSafe(error: unknown): Promise<void> {
    this.#running = false;
    this.#heeds = false;
    const isSafe = await this.#writeSafe().catch(() => false);
    const fields = { error: messageOf(error), leftSafe: isSafe };
    this.#waiting.add({ id: 'supervisor.failed', atMs: this.#lookedAtMs, fields });
    this.#store();
    this.#closeBuses();
    this.#around.failed(error);
  }

  /** Once what is out on the wire has settled; false where the field I/O may hold something else. */
  async #writeSafe(): Promise<boolean> {
    this.#wakeAll();
    for (const bus of this.#around.buses) bus.abandon();
    await within(Promise.allSettled(this.#loops), LEAVE_MS_MAX);
    const coils = coilsOf(leftSafe(this.#state.mitigation));
    const { line, tries } = lastWriteOn(this.#plan);
    const bus = this.#around.buses[line];
    const ask = (task: Task) =>
      performAll(bus, requestsOf(this.#plan, task, coils), LEAVE_MS_MAX, () => false);
    const written = await within(writeLast(ask, coils, tries, LEAVE_WRITE_MS_MAX), LEAVE_WRITE_MS_MAX);
    return written.kind === 'done' && written.value;
  }

  async #pollLine(line: number): Promise<void> {
    while (this.#running) {
      const now = this.#around.clock.now();
      // A process that was stopped must not go on with a command of before: it looks first.
      if (now - this.#lookedAtMs > LOOK_EVERY_MS) this.#look(now);
      const next = nextTask(this.#plan, this.#state, line, now);
      if (next.kind === 'wait') {
        this.#storeAfterWrites(now);
        await this.#sleepUntil(next.untilMs);
        continue;
      }
      const lateMs = this.#lateBy(line, next.state, now);
      this.#state = next.state;
      const beganReal = performance.now();
      const poll = await this.#perform(line, next.task, next.coils);
      if (!this.#isHeeding()) return;
      this.#tellPoll(line, poll, performance.now() - beganReal, lateMs);
      this.#take(taskDone(this.#plan, this.#state, line, next.task, poll), poll.doneAtMs);
      if (next.task.kind === 'write') this.#storeAfterWrites(poll.doneAtMs);
    }
  }

  /** Silence grows without news, so somebody must look. */
  async #lookNowAndThen(): Promise<void> {
    while (this.#running) {
      const now = this.#around.clock.now();
      await this.#sleepUntil(Math.min(nextLookMs(this.#plan, this.#state, now), now + LOOK_EVERY_MS) as Ms);
      if (this.#isOver()) return;
      const lookedMs = this.#around.clock.now();
      this.#look(lookedMs);
      this.#storeAfterWrites(lookedMs);
    }
  }

  #look(now: Ms): void {
    this.#take(lookAgain(this.#plan, this.#state, now), now);
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

  /** Methods, because the answer may change across an await. */
  #isOver(): boolean {
    return !this.#running;
  }

  #isHeeding(): boolean {
    return this.#heeds;
  }

  #failure(): Promise<void> | null {
    return this.#failing;
  }

  #take(step: SupervisorStep, now: Ms): void {
    // A write that was taken brings no news, and is no look at what time has brought.
    if (step.state.mitigation !== this.#state.mitigation) this.#lookedAtMs = now;
    this.#state = step.state;
    this.#waiting.add(...step.facts);
    // Whoever is about to stop lets nothing go.
    if (step.release !== null && this.#running) this.#letGo(step.release, now);
    // What one line found out must not wait until the field I/O's line begins its next cycle.
    if (isWriteDue(this.#plan, this.#state)) this.#wakeAll();
  }

  #letGo(release: Fact, now: Ms): void {
    this.#waiting.add(release);
    if (!this.#store()) {
      this.#waiting.takeBack();
      return;
    }
    const released = recorded(this.#plan, this.#state, now);
    this.#state = released.state;
    this.#waiting.add(...released.facts);
  }

  /** The disk comes after a command that is due, and not before it because another line has time. */
  #storeAfterWrites(now: Ms): void {
    if (!isWriteDue(this.#plan, this.#state)) this.#writeDueSinceMs = null;
    else this.#writeDueSinceMs ??= now;
    if (now - (this.#writeDueSinceMs ?? -Infinity) >= STORE_WITHIN_MS) this.#store();
  }

  #store(): boolean {
    try {
      this.#waiting.tell(this.#around.store);
      return true;
    } catch (error) {
      this.#waiting.trim();
      this.#around.storeFailed(error);
      return false;
    }
  }

  async #perform(line: number, task: Task, coils: readonly boolean[]): Promise<Timed<Words>> {
    const { clock, buses } = this.#around;
    const askedAtMs = clock.now();
    const timeoutMs = clock.toReal(this.#plan.lines[line]?.timeoutMs ?? 0);
    const { unheardAfterMs } = this.#plan.limits;
    const isLate = (): boolean => !this.#heeds || clock.now() - askedAtMs >= unheardAfterMs;
    const outcome = await performAll(buses[line], requestsOf(this.#plan, task, coils), timeoutMs, isLate);
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
    await Promise.allSettled(this.#loops);
  }

  #closeBuses(): void {
    for (const bus of this.#around.buses) bus.close();
  }
}
