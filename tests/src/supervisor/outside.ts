/**
 * A tiny plant around the supervisor's core: it answers tasks with words, keeps time, and notes what can be
 * seen from outside, so that scenarios can judge as somebody would who cannot look in.
 */
import type { Fact } from '../../../src/events/index.ts';
import type { PowerUp } from '../../../src/mitigation/index.ts';
import type { Outcome, Task } from '../../../src/poll/index.ts';
import {
  COILS,
  COMPRESSOR_COIL_FIRST,
  INPUTS,
  type Rig,
  RUNNING_INPUT_FIRST,
} from '../../../src/rig/index.ts';
import {
  lookAgain,
  nextLookMs,
  nextTask,
  planOf,
  recorded,
  type SupervisorPlan,
  type SupervisorState,
  type SupervisorStep,
  startSupervisor,
  taskDone,
  type Words,
} from '../../../src/supervisor/index.ts';
import { type Ms, ms } from '../../../src/units/index.ts';
import { type Answered, type Seen, type Stretch, Switch } from './seen.ts';
import { rigWith, type Says, SOUND, valuesOf } from './tiny-rig.ts';

export const SECOND = 1000;
export const MINUTE = 60 * SECOND;
export const NEW_RECORD: PowerUp = { record: 'empty', tripAgesMs: [], tripCounted: false };

interface Busy {
  readonly task: Task;
  readonly coils: readonly boolean[];
  readonly askedAtMs: Ms;
  readonly untilMs: number;
}

const ANSWER_MS = 5;

export class Outside {
  readonly rig: Rig;
  readonly plan: SupervisorPlan;
  readonly says = new Map<string, Says>();
  /** Contacts that are closed, by sensor. */
  readonly closed = new Map<string, boolean>();
  readonly calls = { cooling: false, heating: false, fan: false };
  /** Answers of each sensor, in order. */
  readonly answered = new Map<string, Answered[]>();
  serviceReset = false;
  fanDead = false;
  ioAnswers = true;
  recordWorks = true;
  /** What somebody else has written over the commands, by coil. */
  readonly foreignCoils = new Map<number, boolean>();
  /** When writes were tried, whether they arrived or not. */
  readonly tries: number[] = [];
  readonly welded = new Set<number>();
  readonly seen: Seen[] = [];
  readonly facts: Fact[] = [];
  /** When each sensor was asked, by name. */
  readonly asked = new Map<string, number[]>();
  state: SupervisorState;
  nowMs = ms(0);
  #powered = true;
  #fanSinceMs: number | null = null;
  #busy: (Busy | null)[];

  readonly #fire = new Switch(this, false);
  readonly #writesArrive = new Switch(this, true);

  constructor(rig: Rig = rigWith(), powerUp: PowerUp = NEW_RECORD) {
    this.rig = rig;
    this.plan = planOf(rig);
    for (const sensor of rig.sensors) {
      if (sensor.kind === 'contact') this.closed.set(sensor.id, sensor.contact === 'opens-on-gas');
      else {
        this.says.set(sensor.id, { ...SOUND, serial: sensor.serial ?? '' });
        this.asked.set(sensor.id, []);
        this.answered.set(sensor.id, []);
      }
    }
    this.state = startSupervisor(this.plan, powerUp, this.nowMs);
    this.#busy = this.plan.lines.map(() => null);
  }

  get fire(): boolean {
    return this.#fire.on;
  }

  set fire(on: boolean) {
    this.#fire.turn(on);
  }

  /** Whether writes arrive; a lost one is not carried out. */
  get writesArrive(): boolean {
    return this.#writesArrive.on;
  }

  set writesArrive(on: boolean) {
    this.#writesArrive.turn(on);
  }

  /** Stretches of time with the fire signal, and without writes that arrive, up to now. */
  get fires(): readonly Stretch[] {
    return this.#fire.stretches(true);
  }

  get losses(): readonly Stretch[] {
    return this.#writesArrive.stretches(false);
  }

  /** Changes what one sensor says. */
  say(sensor: string, changes: Partial<Says>): this {
    const says = this.says.get(sensor);
    if (says === undefined) throw new Error(`no sensor ${sensor}`);
    Object.assign(says, changes);
    return this;
  }

  gas(sensor: string, percentLfl: number): this {
    const gas = percentLfl >= this.rig.policy.setpoint;
    return this.say(sensor, { state: gas ? 'gas' : 'measuring', gasBit: gas, gas: percentLfl });
  }

  /** What a sensor answers now to the reads of its profile. */
  answerTo(id: string): Words {
    const sensor = this.rig.sensors.find((one) => one.id === id);
    if (sensor?.kind !== 'modbus') throw new Error(`no Modbus sensor ${id}`);
    const image = new Uint16Array(64);
    sensor.codec.encode(valuesOf(this.says.get(id) ?? SOUND, this.nowMs), 'input', image);
    return sensor.codec.reads.map(({ address, quantity }) => image.slice(address, address + quantity));
  }

  /** Everything up to and with `untilMs`. */
  run(untilMs: number): this {
    while (this.#powered) {
      const lookMs = nextLookMs(this.plan, this.state, this.nowMs);
      const lineMs = this.#busy.map((busy, line) => busy?.untilMs ?? this.#nextMs(line));
      const dueMs = Math.min(lookMs, ...lineMs);
      if (dueMs > untilMs) break;
      this.nowMs = ms(Math.max(dueMs, this.nowMs));
      if (lookMs <= this.nowMs) this.#take(lookAgain(this.plan, this.state, this.nowMs));
      this.plan.lines.forEach((_, line) => {
        this.#work(line);
      });
    }
    this.nowMs = ms(untilMs);
    return this;
  }

  /** The controller's supply goes: whatever was out on the wire is lost. */
  cut(): this {
    this.#powered = false;
    this.#busy = this.plan.lines.map(() => null);
    return this;
  }

  restore(powerUp: PowerUp): this {
    this.#powered = true;
    this.state = startSupervisor(this.plan, powerUp, this.nowMs);
    return this;
  }

  /** The commands that stand at the field I/O at a moment. */
  at(atMs: number): Seen {
    const seen = this.seen.findLast((one) => one.atMs <= atMs);
    if (seen === undefined) throw new Error(`no command before ${atMs}`);
    return seen;
  }

  /** The first moment from `fromMs` on at which `holds`; Infinity where it never did. */
  first(fromMs: number, holds: (seen: Seen) => boolean): number {
    const standing = this.seen.findLast((one) => one.atMs <= fromMs);
    if (standing !== undefined && holds(standing)) return fromMs;
    return this.seen.find((one) => one.atMs > fromMs && holds(one))?.atMs ?? Number.POSITIVE_INFINITY;
  }

  /** When a line that is not busy has something to do. */
  #nextMs(line: number): number {
    const next = nextTask(this.plan, this.state, line, this.nowMs);
    return next.kind === 'do' ? this.nowMs : next.untilMs;
  }

  #work(line: number): void {
    const busy = this.#busy[line];
    if (busy !== null && busy !== undefined) {
      if (busy.untilMs > this.nowMs) return;
      this.#busy[line] = null;
      const outcome = this.#answer(busy);
      const poll = { askedAtMs: busy.askedAtMs, doneAtMs: this.nowMs, outcome };
      this.#take(taskDone(this.plan, this.state, line, busy.task, poll));
    }
    const next = nextTask(this.plan, this.state, line, this.nowMs);
    if (next.kind === 'wait') return;
    this.state = next.state;
    const takesMs = this.#isAnswered(next.task) ? ANSWER_MS : (this.plan.lines[line]?.timeoutMs ?? 0);
    this.#busy[line] = { ...next, askedAtMs: this.nowMs, untilMs: this.nowMs + takesMs };
    if (next.task.kind === 'write') this.tries.push(this.nowMs);
    if (next.task.kind === 'sensor') {
      const { id } = this.#sensor(next.task.sensor);
      this.asked.get(id)?.push(this.nowMs);
    }
  }

  #take(step: SupervisorStep): void {
    this.state = step.state;
    this.facts.push(...step.facts);
    if (step.release === null || !this.recordWorks) return;
    this.facts.push(step.release);
    this.#take(recorded(this.plan, this.state, this.nowMs));
  }

  #isAnswered(task: Task): boolean {
    if (task.kind === 'sensor') return this.says.get(this.#sensor(task.sensor).id)?.answers === true;
    return this.ioAnswers && (task.kind !== 'write' || this.writesArrive);
  }

  #sensor(index: number) {
    const sensor = this.rig.sensors[index];
    if (sensor?.kind !== 'modbus') throw new Error(`no Modbus sensor ${index}`);
    return sensor;
  }

  #answer({ task, coils }: Busy): Outcome<Words> {
    if (!this.#isAnswered(task)) return { kind: 'silent' };
    switch (task.kind) {
      case 'inputs':
        return { kind: 'answered', answer: [this.#inputs()] };
      case 'write':
        this.#carryOut(coils);
        return { kind: 'answered', answer: [[], []] };
      case 'readBack':
        return { kind: 'answered', answer: [this.#coils()] };
      case 'sensor': {
        const { id } = this.#sensor(task.sensor);
        const says = this.says.get(id) ?? SOUND;
        this.answered.get(id)?.push({ atMs: this.nowMs, says: { ...says } });
        return { kind: 'answered', answer: this.answerTo(id) };
      }
    }
  }

  #carryOut(coils: readonly boolean[]): void {
    const on = (coil: number): boolean => coils[coil] === true;
    const next: Seen = {
      atMs: this.nowMs,
      fan: on(COILS.fan),
      damper: on(COILS.damper),
      heat: on(COILS.heat),
      alarm: on(COILS.alarm),
      trouble: on(COILS.trouble),
      compressors: coils.slice(COMPRESSOR_COIL_FIRST),
    };
    this.#fanSinceMs = next.fan ? (this.#fanSinceMs ?? this.nowMs) : null;
    const last = this.seen.at(-1);
    if (last === undefined || JSON.stringify({ ...last, atMs: 0 }) !== JSON.stringify({ ...next, atMs: 0 }))
      this.seen.push(next);
  }

  #coils(): readonly number[] {
    const last = this.seen.at(-1);
    const coils = Array.from({ length: COMPRESSOR_COIL_FIRST }, () => 0);
    for (const name of ['fan', 'damper', 'heat', 'trouble', 'alarm'] as const)
      coils[COILS[name]] = Number(last?.[name] ?? false);
    const compressors = this.plan.circuits.map((_, circuit) => Number(last?.compressors[circuit] ?? false));
    return [...coils, ...compressors].map((coil, address) => Number(this.foreignCoils.get(address) ?? coil));
  }

  #inputs(): readonly number[] {
    const bits = Array.from({ length: RUNNING_INPUT_FIRST + this.plan.circuits.length }, () => 0);
    const blowing = this.#fanSinceMs !== null && this.nowMs - this.#fanSinceMs >= this.rig.fan.spinUpMs;
    bits[INPUTS.cooling] = Number(this.calls.cooling);
    bits[INPUTS.heating] = Number(this.calls.heating);
    bits[INPUTS.fanCall] = Number(this.calls.fan);
    bits[INPUTS.airflow] = Number(blowing && !this.fanDead);
    bits[INPUTS.serviceReset] = Number(this.serviceReset);
    bits[INPUTS.fire] = Number(this.fire);
    for (const sensor of this.rig.sensors)
      if (sensor.kind === 'contact') bits[sensor.input] = Number(this.closed.get(sensor.id) === true);
    this.plan.circuits.forEach((_, circuit) => {
      const commanded = this.seen.at(-1)?.compressors[circuit] === true;
      bits[RUNNING_INPUT_FIRST + circuit] = Number(commanded || this.welded.has(circuit));
    });
    return bits;
  }
}
