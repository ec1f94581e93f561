/**
 * The world on the bench: sole owner of gas, sensors, field I/O and equipment.
 *
 * Everything comes in through three doors: `serve` (a request from the wire), `apply` (a step) and `advance`
 * (time). Nothing ticks: `nextDueMs` says when something happens by itself, and a sensor is brought up to
 * date only when somebody reads it. Moments never go back.
 */
import { answer, functionRow, type WireAnswer } from '../../src/modbus/index.ts';
import type { ContactSensor, ModbusSensor, Rig } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';
import {
  bringUpTo,
  type Device,
  type DeviceFacts,
  type DeviceRegisters,
  isContactClosed,
  newDevice,
  powerDown,
  powerUp,
  registersOf,
  valuesOf,
} from '../device/index.ts';
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
import { Atmosphere } from './atmosphere.ts';
import type { Observe } from './observation.ts';
import { type Draw, seededDraw, strikes } from './random.ts';
import { tellChanges } from './tell.ts';
import { Timers } from './timers.ts';
import { disturb, wireFaultsStriking } from './wire-trouble.ts';

export interface WorldOptions {
  readonly seed: number;
  readonly startMs: Ms;
  /** Service life left of each sensor at the start, days. */
  readonly serviceDaysLeft: (sensor: ModbusSensor) => number;
  readonly observe: Observe;
}

export interface Unit {
  readonly device: Device;
  readonly registers: DeviceRegisters;
  readonly facts: DeviceFacts;
  /** Index among the rig's sensors, by which the atmosphere knows it. */
  readonly index: number;
}

const MODBUS_BROADCAST = 0;
const S_PER_H = 3600;

export class World {
  readonly rig: Rig;
  readonly draw: Draw;
  readonly timers = new Timers();
  readonly atmosphere: Atmosphere;
  readonly units: readonly Unit[];
  readonly io: FieldIo;
  readonly plant: Plant;
  /** Faults by what they are in, sensors and equipment alike. */
  readonly faults = new Map<string, readonly Fault[]>();
  /** `controller`, `rig` and sensors whose supply a step has cut. */
  readonly unpowered = new Set<string>();
  readonly calls = { cooling: false, heating: false, fan: false };
  serviceReset = false;
  fire = false;
  readonly #observe: Observe;
  readonly #ioRegisters: FieldIoRegisters;
  readonly #contacts: readonly (readonly [ContactSensor, number])[];
  readonly #unitsByLine: ReadonlyMap<string, readonly Unit[]>;
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
    this.units = rig.sensors.flatMap((sensor, index) => {
      if (sensor.kind === 'contact') return [];
      const device = newDevice(sensor);
      powerUp(device, options.startMs);
      const facts = {
        setpoint: rig.policy.setpoint,
        refrigerant: rig.refrigerant,
        serviceDaysLeft: options.serviceDaysLeft(sensor),
      };
      return [{ device, registers: registersOf(device), facts, index }];
    });
    this.#contacts = rig.sensors.flatMap((sensor, index) =>
      sensor.kind === 'contact' ? [[sensor, index] as const] : [],
    );
    this.#unitsByLine = new Map(
      rig.lines.map(({ id }) => [id, this.units.filter(({ device }) => device.plan.line === id)]),
    );
    this.io = newFieldIo(rig.circuits.length, rig.fieldIo.watchdogMs, options.startMs);
    this.#ioRegisters = registersOfFieldIo(this.io);
    this.plant = newPlant(rig.fan.spinUpMs, rig.circuits.length);
    this.#terminals = terminalsOf(this.io, options.startMs);
    this.atmosphere.tellAll(options.startMs, this.#observe);
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
      this.atmosphere.tellCrossings(this.#nowMs, this.#observe);
      this.timers.run(this.#nowMs);
      this.settle();
    }
    this.#nowMs = now;
  }

  /** What the device at an address of a line answers to a request; undefined for silence. */
  serve(line: string, unitId: number, pdu: Uint8Array, now: Ms): WireAnswer {
    this.advance(now);
    if (!this.powered) return undefined;
    this.#observe({ kind: 'asked', atMs: now, line, unitId, pdu });
    const trouble = wireFaultsStriking(this, line, unitId);
    const refused = trouble.some(({ kind }) => kind === 'refuse');
    const reply = refused ? undefined : this.#answerOf(line, unitId, pdu, now);
    if (trouble.length > 0) return disturb(this, trouble, { line, unitId, pdu, reply });
    const heard = { kind: 'answered', atMs: now, heardAtMs: now, line, unitId } as const;
    if (reply !== undefined) this.#observe({ ...heard, pdu: reply });
    return reply;
  }

  #answerOf(line: string, unitId: number, pdu: Uint8Array, now: Ms): Uint8Array | undefined {
    const { fieldIo } = this.rig;
    const units = this.#unitsByLine.get(line) ?? [];
    if (unitId === MODBUS_BROADCAST) {
      for (const unit of units) this.#answerAs(unit, pdu, now);
      if (line === fieldIo.line) this.#answerAsIo(pdu, now);
      return undefined;
    }
    if (line === fieldIo.line && unitId === fieldIo.unitId) return this.#answerAsIo(pdu, now);
    let reply: Uint8Array | undefined;
    let replies = 0;
    for (const unit of units) {
      const one = unit.device.address === unitId ? this.#answerAs(unit, pdu, now) : undefined;
      if (one === undefined) continue;
      reply = one;
      replies += 1;
    }
    // Two that answer at once make noise, which over TCP is no answer at all.
    return replies === 1 ? reply : undefined;
  }

  #answerAs(unit: Unit, pdu: Uint8Array, now: Ms): Uint8Array | undefined {
    const { device, registers } = unit;
    bringUpTo(device, now);
    if (device.poweredSinceMs === null || strikes(faultOf(device.faults, 'silent'), this.draw))
      return undefined;
    registers.refresh(this.valuesOf(unit), now);
    return answer(pdu, registers.model);
  }

  /** Everything a sensor publishes now. */
  valuesOf(unit: Unit) {
    const sensed = this.atmosphere.sensed(unit.index, this.#nowMs);
    const scatter = strikes(faultOf(unit.device.faults, 'noisy'), this.draw) ? this.draw.normal() : 0;
    return valuesOf(unit.device, sensed, unit.facts, this.#nowMs, scatter);
  }

  #answerAsIo(pdu: Uint8Array, now: Ms): Uint8Array | undefined {
    if (strikes(faultOf(this.faults.get('fieldIo') ?? [], 'io-silent'), this.draw)) return undefined;
    const registers = this.#ioRegisters;
    const row = functionRow(pdu[0] ?? 0);
    if (row?.shape === 'read') {
      // Coils are the module's own; only its inputs are wired to something.
      if (row.table !== 'coils') registers.refresh(this.wired(), now);
      return answer(pdu, registers.model);
    }
    const before = commanded(this.io);
    registers.writeAt(now);
    const reply = answer(pdu, registers.model);
    tellChanges('command', before, commanded(this.io), this.rig.circuits, now, this.#observe);
    this.settle();
    return reply;
  }

  /** What is wired to the field I/O's inputs now. */
  wired(): Wired {
    const blowing = isBlowing(this.plant, this.#nowMs);
    return {
      ...this.calls,
      fanCall: this.calls.fan,
      airflow: airflowReads(blowing, this.faults),
      serviceReset: this.serviceReset,
      fire: this.fire,
      airflowM3PerH: blowing ? this.rig.fan.airflowM3PerS * S_PER_H : 0,
      contactClosed: this.#contacts.map(this.#contactClosed),
      compressorRunning: this.plant.compressorRunning,
    };
  }

  readonly #contactClosed = ([sensor, index]: readonly [ContactSensor, number]): readonly [
    number,
    boolean,
  ] => {
    const sensed = this.atmosphere.sensed(index, this.#nowMs);
    const powered = this.powered && !this.unpowered.has(sensor.id);
    const faults = this.faults.get(sensor.id) ?? [];
    return [sensor.input, isContactClosed(sensor, sensed, this.rig.policy.setpoint, powered, faults)];
  };

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

  /** A unit gets or loses its supply, as its own switch, its fault and the rig's supply have it. */
  supply(unit: Unit): void {
    const { device } = unit;
    const cut = this.unpowered.has(device.plan.id) || faultOf(device.faults, 'no-power') !== undefined;
    if (!this.powered || cut) powerDown(device, this.#nowMs);
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

/** The command coils as they were set, whatever the watchdog makes of them. */
function commanded(io: FieldIo): Terminals {
  return terminalsOf(io, io.lastCompleteMs);
}
