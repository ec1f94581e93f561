/** A running bench: whatever parts this process has, behind the one port that the API knows. */
import type { Logger } from 'pino';
import { readStep } from '../../sim/drill/step.ts';
import type { PollFold, PollReport } from '../../sim/poll-report/index.ts';
import type { LiveWorld, Observation } from '../../sim/world/index.ts';
import type { BenchPort, ClockChange, StepResult } from '../api/bench-port.ts';
import type { DrillListing } from '../api/drill-schema.ts';
import type { RigView } from '../api/rig-view-schema.ts';
import type { Snapshot } from '../api/snapshot-schema.ts';
import { type BenchClock, SPEED_MAX, SPEED_MIN } from '../clock/index.ts';
import type { Fact } from '../events/index.ts';
import type { EventRecord } from '../record/index.ts';
import type { Rig } from '../rig/index.ts';
import { factsOf } from './bench-facts.ts';
import type { ControllerPower } from './controller-power.ts';
import type { SupervisorHost } from './supervisor-host.ts';

export interface BenchParts {
  readonly rig: Rig;
  readonly view: RigView;
  readonly clock: BenchClock;
  readonly record: EventRecord;
  readonly log: Logger;
  /** null where the sensors run elsewhere. */
  readonly world: LiveWorld | null;
  /** What is asked of that world; null where it is. */
  readonly polls: PollFold | null;
  /** null where the controller runs elsewhere. */
  readonly supervisor: SupervisorHost | null;
  /** null where this process cannot switch the controller. */
  readonly controllerPower: ControllerPower | null;
}

const NO_WORLD =
  'this process runs the supervisor alone; send the step to the process that runs the sensors (leakbench sim)';
const NO_POWER =
  'skipped: this process cannot switch the controller; start it with --controller-power COMMAND';

export class Bench implements BenchPort {
  readonly #parts: BenchParts;

  constructor(parts: BenchParts) {
    this.#parts = parts;
  }

  rigView(): RigView {
    return this.#parts.view;
  }

  snapshot(): Snapshot {
    const { clock, record, world, supervisor } = this.#parts;
    return {
      sequence: record.lastSequence(),
      nowMs: clock.now(),
      speed: clock.speed(),
      paused: clock.paused(),
      stepping: false,
      wire: null,
      drill: null,
      world: world === null ? null : world.picture(),
      supervisor: supervisor === null ? null : supervisor.snapshot(),
    };
  }

  pollReport(): PollReport | null {
    const { clock, world, polls } = this.#parts;
    return world === null || polls === null ? null : polls.report(clock.now(), world.thrownAway());
  }

  applyStep(written: unknown): StepResult {
    const { world, rig, controllerPower } = this.#parts;
    if (world === null) return { ok: false, problem: NO_WORLD };
    const read = readStep(written, rig);
    if (!read.ok) return read;
    const { step } = read;
    const powersController = 'to' in step && step.to === 'controller';
    if (powersController && controllerPower === null) return { ok: false, problem: NO_POWER };
    const problem = world.apply(step);
    return problem === null ? { ok: true } : { ok: false, problem };
  }

  setClock(change: ClockChange): StepResult {
    const { clock, record } = this.#parts;
    const { speed } = change;
    if (speed !== undefined && !(speed >= SPEED_MIN && speed <= SPEED_MAX)) {
      return { ok: false, problem: `speed takes ${SPEED_MIN} to ${SPEED_MAX}` };
    }
    clock.set(change);
    const fields = { speed: clock.speed(), paused: clock.paused() };
    record.append([{ id: 'clock.changed', atMs: clock.now(), fields }]);
    return { ok: true };
  }

  restart(): Promise<StepResult> {
    return Promise.resolve({ ok: false, problem: NO_WORLD });
  }
  playDrill(): Promise<StepResult> {
    return Promise.resolve({ ok: false, problem: NO_WORLD });
  }
  stopDrill(): StepResult {
    return { ok: false, problem: NO_WORLD };
  }
  drills(): readonly DrillListing[] {
    return [];
  }
  drillReport(): null {
    return null;
  }
  recording(): null {
    return null;
  }

  notReady(): string | null {
    const lost = this.#parts.supervisor?.unconnected() ?? [];
    return lost.length === 0 ? null : `no connection on line ${lost.join(', ')}`;
  }
}

/**
 * Takes what is seen of the world into the record, many facts at a time: the world answers the wire first,
 * and its history follows within the same turn of the event loop.
 */
export class WorldTap {
  readonly #record: EventRecord;
  readonly #failed: (error: unknown) => void;
  readonly #power: (to: string, on: boolean) => void;
  #waiting: Fact[] = [];

  constructor(
    record: EventRecord,
    power: (to: string, on: boolean) => void,
    failed: (error: unknown) => void,
  ) {
    this.#record = record;
    this.#power = power;
    this.#failed = failed;
  }

  readonly observe = (seen: Observation): void => {
    const facts = factsOf(seen);
    if (facts.length === 0) return;
    if (this.#waiting.length === 0) setImmediate(this.flush);
    this.#waiting.push(...facts);
    if (seen.kind !== 'power') return;
    // The cause is on record before what follows from it.
    this.flush();
    this.#power(seen.to, seen.on);
  };

  readonly flush = (): void => {
    if (this.#waiting.length === 0) return;
    const facts = this.#waiting;
    this.#waiting = [];
    try {
      this.#record.append(facts);
    } catch (error) {
      this.#failed(error);
    }
  };
}
