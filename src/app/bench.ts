/** A running bench: whatever parts this process has, behind the one port that the API knows. */
import type { ShippedDrill } from '../../sim/drill/index.ts';
import { stepJsonSchema } from '../../sim/drill/json-schema.ts';
import { readStep } from '../../sim/drill/step.ts';
import type { PollReport } from '../../sim/poll-report/index.ts';
import type { BenchPort, ClockChange, StepResult, SupervisorFigures } from '../api/bench-port.ts';
import type {
  DrillListing,
  DrillReport,
  DrillWanted,
  Recording as RecordingTold,
} from '../api/drill-schema.ts';
import type { RigView } from '../api/rig-view-schema.ts';
import type { Snapshot } from '../api/snapshot-schema.ts';
import { type BenchClock, SPEED_MAX, SPEED_MIN } from '../clock/index.ts';
import type { EventRecord } from '../record/index.ts';
import type { Rig } from '../rig/index.ts';
import type { PollSeen } from '../supervisor/index.ts';
import type { ControllerPower } from './controller-power.ts';
import type { DrillInPlace } from './drill/in-place.ts';
import type { Recording } from './drill/recording.ts';
import { DrillShelf, type Playable } from './drill/shelf.ts';
import type { FreshStart } from './fresh-start.ts';
import type { Stage } from './stage.ts';
import { clockChanged, Stepping } from './stepping.ts';
import type { SupervisorHost } from './supervisor-host.ts';

export interface BenchParts {
  readonly rig: Rig;
  readonly view: RigView;
  readonly clock: BenchClock;
  readonly record: EventRecord;
  /** null where the sensors run elsewhere. */
  readonly sensors: SensorParts | null;
  /** null where the controller runs elsewhere. */
  readonly supervisor: SupervisorHost | null;
  /** null where this process cannot switch the controller. */
  readonly controllerPower: ControllerPower | null;
}

/** What there is where the sensors run. */
export interface SensorParts {
  readonly stage: Stage;
  readonly fresh: FreshStart;
  readonly drills: DrillInPlace;
  readonly recording: Recording;
}

const NO_WORLD =
  'this process runs the supervisor alone; send it to the process that runs the sensors (leakbench sim)';
const TIME_OF_THE_BUS =
  'this process runs the supervisor alone, on a bus whose time goes on: its clock is neither paused nor given another speed; where the sensors are those of leakbench sim, start both anew with the same --speed';
const NO_POWER =
  'skipped: this process cannot switch the controller; start it with --controller-power COMMAND';
const DONE: StepResult = { ok: true };

export class Bench implements BenchPort {
  readonly stepSchema: BenchPort['stepSchema'] = stepJsonSchema();
  readonly #parts: BenchParts;
  readonly #shelf: DrillShelf;
  readonly #stepping: Stepping;

  constructor(parts: BenchParts) {
    this.#parts = parts;
    this.#shelf = new DrillShelf(parts.rig);
    this.#stepping = new Stepping(parts.clock, parts.record);
  }

  rigView(): RigView {
    return this.#parts.view;
  }

  snapshot(): Snapshot {
    const { clock, record, sensors, supervisor } = this.#parts;
    return {
      sequence: record.lastSequence(),
      nowMs: clock.now(),
      speed: clock.speed(),
      paused: clock.paused(),
      stepping: this.#stepping.active,
      recordTrouble: record.trouble(),
      world: sensors?.stage.live.picture() ?? null,
      supervisor: supervisor?.snapshot() ?? null,
      wire: sensors?.stage.wire() ?? null,
      drill: sensors?.drills.status() ?? null,
    };
  }

  pollReport(): PollReport | null {
    return this.#parts.sensors?.stage.pollReport() ?? null;
  }

  countPollsAnew(): StepResult {
    const { sensors } = this.#parts;
    if (sensors === null) return { ok: false, problem: NO_WORLD };
    sensors.stage.countPollsAnew();
    return DONE;
  }

  applyStep(written: unknown): StepResult {
    const { sensors, rig, clock, controllerPower } = this.#parts;
    if (sensors === null) return { ok: false, problem: NO_WORLD };
    const read = readStep(written, rig);
    if (!read.ok) return read;
    const { step } = read;
    const powersController = 'to' in step && step.to === 'controller';
    if (powersController && controllerPower === null) return { ok: false, problem: NO_POWER };
    const problem = sensors.stage.live.apply(step);
    if (problem !== null) return { ok: false, problem };
    sensors.recording.take(clock.now(), written);
    sensors.drills.madeByHand();
    return DONE;
  }

  setClock({ speed, paused, toNextEvent }: ClockChange): StepResult {
    const { clock, record, sensors } = this.#parts;
    // What is believed must age as the equipment does.
    if (sensors === null) return { ok: false, problem: TIME_OF_THE_BUS };
    if (speed !== undefined && !(speed >= SPEED_MIN && speed <= SPEED_MAX)) {
      return { ok: false, problem: `speed takes ${SPEED_MIN} to ${SPEED_MAX}` };
    }
    if (toNextEvent === true) {
      this.#stepping.start();
      sensors.drills.clockIsTaken();
      return DONE;
    }
    const change = { speed: speed ?? this.#stepping.speedBefore, paused };
    record.append([clockChanged(clock, change)]);
    sensors.drills.clockIsTaken();
    this.#stepping.giveUp();
    clock.set(change);
    return DONE;
  }

  async restart(): Promise<StepResult> {
    const { sensors } = this.#parts;
    if (sensors === null) return { ok: false, problem: NO_WORLD };
    await sensors.fresh.run('as asked for', Date.now(), (startMs) => {
      sensors.recording.begin(startMs);
      return null;
    });
    return DONE;
  }

  async drills(): Promise<readonly DrillListing[]> {
    const listed = await this.#shelf.list();
    return this.#parts.sensors === null ? listed.map((one) => ({ ...one, fits: NO_WORLD })) : listed;
  }

  /** Those of them that teach, with what they tell a class. */
  async lessons(): Promise<readonly ShippedDrill[]> {
    const all = await this.#shelf.all();
    return all.filter(({ written }) => written.lesson !== undefined);
  }

  findDrill(wanted: DrillWanted): Promise<Playable | string> {
    return this.#shelf.find(wanted);
  }

  async playDrill(wanted: DrillWanted): Promise<StepResult> {
    const { sensors } = this.#parts;
    if (sensors === null) return { ok: false, problem: NO_WORLD };
    const playable = await this.#shelf.find(wanted);
    if (typeof playable === 'string') return { ok: false, problem: playable };
    await sensors.drills.begin(playable);
    return DONE;
  }

  stopDrill(): StepResult {
    const { sensors } = this.#parts;
    if (sensors === null) return { ok: false, problem: NO_WORLD };
    return sensors.drills.stop() ? DONE : { ok: false, problem: 'no drill is playing' };
  }

  drillReport(): DrillReport | null {
    return this.#parts.sensors?.drills.report() ?? null;
  }

  recording(name: string | undefined): RecordingTold | null {
    const { sensors, clock } = this.#parts;
    return sensors?.recording.told(clock.now(), name) ?? null;
  }

  watchPolls(told: (poll: PollSeen) => void): void {
    this.#parts.supervisor?.watchPolls(told);
  }

  supervisorFigures(): SupervisorFigures | null {
    return this.#parts.supervisor?.figures() ?? null;
  }

  notReady(): string | null {
    const { record, supervisor } = this.#parts;
    const trouble = record.trouble();
    const troubles = [
      ...(supervisor?.troubles() ?? []),
      ...(trouble === null ? [] : [`Nothing is released while nothing can be recorded. ${trouble}`]),
    ];
    return troubles.length === 0 ? null : troubles.join(' ');
  }

  /** Nothing here goes on by itself any more. */
  close(): void {
    this.#stepping.giveUp();
    this.#parts.sensors?.drills.stop();
  }
}
