/**
 * The world on the bench: sole owner of gas, sensors, field I/O and equipment.
 *
 * Everything comes in through three doors: `serve` (a request from the wire), `apply` (a step) and `advance`
 * (time). Nothing ticks: `nextDueMs` says when something happens by itself, and a sensor is brought up to
 * date only when somebody reads it. Moments never go back.
 */
import { BROADCAST, type Framing, type WireAnswer } from '../../src/modbus/index.ts';
import { framingOf, type ModbusSensor, type Pace, type Rig } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';
import { bringUpTo, measure, powerDown, powerUp, valuesOf } from '../device/index.ts';
import {
  airflowReads,
  blowsFromMs,
  drivePlant,
  type FieldIo,
  type FieldIoRegisters,
  isBlowing,
  isWatchdogExpired,
  newFieldIo,
  newPlant,
  type Plant,
  registersOfFieldIo,
  resetFieldIo,
  stuckTerminals,
  type Terminals,
  terminalsOf,
  type Wired,
  watchdogDueMs,
} from '../equipment/index.ts';
import { type Fault, faultOf } from '../faults/index.ts';
import { answerOf, commanded } from './answering.ts';
import { Atmosphere } from './atmosphere.ts';
import type { Observe } from './observation.ts';
import { type Draw, seededDraw, strikes } from './random.ts';
import { tellChanges } from './tell.ts';
import { Timers } from './timers.ts';
import { toldAgeDays, type Unit, unitsOf } from './unit.ts';
import { disturb, TWO_TALK, viaGateway, wireFaultsStriking } from './wire-trouble.ts';
import { contactsOf, type WiredContact, wiredNow } from './wired.ts';

export interface WorldOptions {
  readonly seed: number;
  readonly startMs: Ms;
  /** Service life left of each sensor at the start, days. */
  readonly serviceDaysLeft: (sensor: ModbusSensor) => number;
  /** Age of each sensor at the start, days; left out, what the rig says, and else new. */
  readonly ageDays?: (sensor: ModbusSensor) => number;
  readonly observe: Observe;
}

export class World {
  readonly rig: Rig;
  readonly draw: Draw;
  readonly timers = new Timers();
  readonly atmosphere: Atmosphere;
  readonly units: readonly Unit[];
  readonly io: FieldIo;
  readonly ioRegisters: FieldIoRegisters;
  readonly plant: Plant;
  /** Faults by what they are in, sensors and equipment alike. */
  readonly faults = new Map<string, readonly Fault[]>();
  /** `controller`, `rig` and sensors whose supply a step has cut. */
  readonly unpowered = new Set<string>();
  readonly calls = { cooling: false, heating: false, fan: false };
  serviceReset = false;
  fire = false;
  readonly #observe: Observe;
  readonly #contacts: readonly WiredContact[];
  readonly #unitsByLine: ReadonlyMap<string, readonly Unit[]>;
  readonly #paces: ReadonlyMap<string, Pace | null>;
  readonly #framings: ReadonlyMap<string, Framing['kind']>;
  #nowMs: Ms;
  #terminals: Terminals;
  #watchdogTold = false;
  #airflowTold = false;

  constructor(rig: Rig, options: WorldOptions) {
    this.rig = rig;
    this.draw = seededDraw(options.seed);
    this.#observe = options.observe;
    this.#nowMs = options.startMs;
    this.atmosphere = new Atmosphere(rig, options.startMs);
    this.units = unitsOf(rig, options.startMs, options.serviceDaysLeft, options.ageDays ?? toldAgeDays);
    this.#contacts = contactsOf(rig);
    this.#paces = new Map(rig.lines.map(({ id, pace }) => [id, pace]));
    this.#framings = new Map(rig.lines.map((line) => [line.id, framingOf(line)]));
    this.#unitsByLine = new Map(
      rig.lines.map(({ id }) => [id, this.units.filter(({ device }) => device.plan.line === id)]),
    );
    this.io = newFieldIo(rig.circuits.length, rig.fieldIo.watchdogMs, options.startMs);
    this.ioRegisters = registersOfFieldIo(this.io);
    this.plant = newPlant(rig.fan.spinUpMs, rig.circuits.length);
    this.#terminals = terminalsOf(this.io, options.startMs);
    this.atmosphere.tellAll(options.startMs, this.#observe);
    this.#leaveInTheBox();
  }

  get nowMs(): Ms {
    return this.#nowMs;
  }

  get terminals(): Terminals {
    return this.#terminals;
  }

  get powered(): boolean {
    return !this.unpowered.has('rig');
  }

  /** Sensors that nobody has plugged in yet; a step that restores their power does. */
  #leaveInTheBox(): void {
    for (const { plan } of this.units.map(({ device }) => device)) {
      if (!plan.outOfBox) continue;
      this.unpowered.add(plan.id);
      this.#observe({ kind: 'power', atMs: this.#nowMs, to: plan.id, on: false });
    }
  }

  /** When something next happens by itself; Infinity where nothing will. */
  nextDueMs(): number {
    const watchdogMs =
      this.powered && !this.#watchdogTold ? watchdogDueMs(this.io) : Number.POSITIVE_INFINITY;
    return Math.min(
      this.timers.nextMs(),
      watchdogMs,
      blowsFromMs(this.plant, this.#nowMs),
      this.atmosphere.nextCrossingMs(),
    );
  }

  /** Brings the world to `now`, through everything that happens on the way. */
  advance(now: Ms): void {
    if (now < this.#nowMs) throw new RangeError(`time went back from ${this.#nowMs} to ${now}`);
    for (let dueMs = this.nextDueMs(); dueMs <= now; dueMs = this.nextDueMs()) {
      this.#nowMs = Math.max(dueMs, this.#nowMs) as Ms;
      this.#reboot();
      this.atmosphere.tellCrossings(this.#nowMs, this.#observe);
      this.timers.run(this.#nowMs);
      this.settle();
    }
    this.#nowMs = now;
    this.#reboot();
  }

  /** Whoever reboots again and again has done so by now, asked or not. */
  #reboot(): void {
    if (this.faults.size === 0) return;
    for (const { device } of this.units) bringUpTo(device, this.#nowMs);
  }

  /**
   * What the device at an address of a line answers to a request; undefined for silence. Left out, the frame
   * is of the kind that the line's first address takes.
   */
  serve(
    line: string,
    unitId: number,
    pdu: Uint8Array,
    now: Ms,
    framing: Framing['kind'] = this.#framings.get(line) ?? 'mbap',
  ): WireAnswer {
    this.advance(now);
    if (!this.powered) return undefined;
    this.#observe({ kind: 'asked', atMs: now, line, unitId, pdu });
    let trouble = wireFaultsStriking(this, line, unitId);
    const refused = trouble.some(({ kind }) => kind === 'refuse');
    const replies = refused ? undefined : answerOf(this, line, unitId, pdu);
    const alone = replies === undefined || replies instanceof Uint8Array;
    if (!alone) trouble = [...trouble, TWO_TALK];
    const reply = alone ? replies : replies.one;
    const pace = framing === 'mbap' && !refused && unitId !== BROADCAST ? this.#paces.get(line) : null;
    if (!pace && trouble.length === 0) {
      if (reply !== undefined)
        this.#observe({ kind: 'answered', atMs: now, heardAtMs: now, line, unitId, pdu: reply });
      return reply;
    }
    const exchange = { line, unitId, pdu, reply, otherReply: alone ? undefined : replies.other, framing };
    return pace ? viaGateway(this, trouble, exchange, pace) : disturb(this, trouble, exchange);
  }

  /** As if commands had gone on coming until `toMs`, which nothing that happens by itself comes before. */
  commandedUntil(toMs: Ms): void {
    this.io.lastCompleteMs = toMs;
  }

  unitsOn(line: string): readonly Unit[] {
    return this.#unitsByLine.get(line) ?? [];
  }

  /** Everything a sensor publishes now. */
  valuesOf(unit: Unit) {
    const sensed = this.atmosphere.sensed(unit.index, this.#nowMs);
    const scatter = strikes(faultOf(unit.device.faults, 'noisy'), this.draw) ? this.draw.normal() : 0;
    measure(unit.device, this.#nowMs, this.draw);
    return valuesOf(unit.device, sensed, unit.facts, this.#nowMs, scatter);
  }

  /** What is wired to the field I/O's inputs now. */
  wired(): Wired {
    return wiredNow(this, this.#contacts);
  }

  /** Lets the equipment follow its terminals, and the air follow the equipment; tells what changed. */
  settle(): void {
    const now = this.#nowMs;
    const expired = isWatchdogExpired(this.io, now);
    if (expired !== this.#watchdogTold && this.powered) {
      this.#watchdogTold = expired;
      this.#observe({ kind: 'watchdog', atMs: now, expired, watchdogMs: this.io.watchdogMs });
    }
    const terminals = this.powered
      ? stuckTerminals(terminalsOf(this.io, now), this.rig.circuits, this.faults)
      : commanded(this.io);
    tellChanges('terminal', this.#terminals, terminals, this.rig.circuits, now, this.#observe);
    this.#terminals = terminals;
    drivePlant(this.plant, terminals, this.rig.circuits, this.faults, this.powered, now);
    const blowing = isBlowing(this.plant, now);
    this.atmosphere.setBlowing(blowing, now);
    const airflow = airflowReads(blowing, this.faults);
    if (airflow === this.#airflowTold) return;
    this.#airflowTold = airflow;
    this.#observe({ kind: 'input', atMs: now, input: 'airflow', on: airflow });
  }

  /** Whether a supply arrives at a sensor, as its own switch, its fault and the rig's supply have it. */
  isSupplied(sensor: string): boolean {
    const faults = this.faults.get(sensor) ?? [];
    return this.powered && !this.unpowered.has(sensor) && faultOf(faults, 'no-power') === undefined;
  }

  /** A unit gets or loses its supply. */
  supply({ device }: Unit): void {
    if (!this.isSupplied(device.plan.id)) powerDown(device, this.#nowMs);
    else if (device.poweredSinceMs === null) powerUp(device, this.#nowMs);
  }

  /** The rig's supply came or went: the field I/O forgets its commands, every sensor follows. */
  supplyAll(): void {
    resetFieldIo(this.io, this.#nowMs);
    this.#watchdogTold = false;
    for (const unit of this.units) this.supply(unit);
  }

  /** Tells what a step did; the signals that follow from it are told by the world itself. */
  get tell(): Observe {
    return this.#observe;
  }
}
