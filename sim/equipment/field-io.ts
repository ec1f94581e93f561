/**
 * The field I/O: the controller's commands as coils, what it can see as discrete inputs, and a watchdog that
 * drops compressors and heat and lets fan and dampers go on once commands stop coming.
 */
import { type DataModel, readableTable, writableTable } from '../../src/modbus/index.ts';
import {
  COILS,
  COMPRESSOR_COIL_FIRST,
  CONTACT_INPUT_FIRST,
  CONTACT_INPUT_LAST,
  INPUTS,
  IO_REGISTERS,
  RUNNING_INPUT_FIRST,
} from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';
import { identityOf } from '../device/index.ts';

const MS_PER_S = 1000;
const REGISTER_MAX = 0xffff;
/** It has no profile, its map being the same for every rig, and so no model name either. */
const IDENTITY = identityOf({
  productCode: 'LB-FIELD-IO',
  productName: 'virtual field I/O',
  userApplicationName: 'field I/O',
});

/**
 * The module's memory; the world owns it. A write is complete when every command coil has been written once
 * since the last complete one, in whatever requests: a controller that forgets one coil never feeds the
 * watchdog.
 */
export interface FieldIo {
  readonly circuits: number;
  readonly watchdogMs: Ms;
  /** Command coils from 0, and those of the compressors. */
  readonly coils: Uint8Array;
  readonly compressorCoils: Uint8Array;
  /** Command coils not written since the last complete write, by address. */
  readonly awaited: Set<number>;
  lastCompleteMs: Ms;
  /** Terminals that it has had, by coils and watchdog: the same ones are the same value. */
  readonly known: Map<number, Terminals>;
}

/**
 * What stands at the module's output terminals: what the equipment gets, as opposed to what the controller
 * wrote. The two differ while the watchdog has expired, and where a terminal is stuck.
 */
export interface Terminals {
  readonly fan: boolean;
  readonly damper: boolean;
  readonly heat: boolean;
  readonly trouble: boolean;
  readonly alarm: boolean;
  readonly compressors: readonly boolean[];
}

/**
 * What is wired to the module's inputs, as the world has it at one moment. The controller sees nothing of
 * the plant but this: what is stuck, welded or misread here is what it has to find out.
 */
export interface Wired {
  readonly cooling: boolean;
  readonly heating: boolean;
  readonly fanCall: boolean;
  readonly airflow: boolean;
  readonly serviceReset: boolean;
  readonly fire: boolean;
  readonly airflowM3PerH: number;
  /** As each contact stands, by input number. */
  readonly contactClosed: Iterable<readonly [number, boolean]>;
  readonly compressorRunning: readonly boolean[];
}

/** As it comes out of its box: every coil off, the watchdog counting from `now`. */
export function newFieldIo(circuits: number, watchdogMs: Ms, now: Ms): FieldIo {
  const io: FieldIo = {
    circuits,
    watchdogMs,
    coils: new Uint8Array(Object.keys(COILS).length),
    compressorCoils: new Uint8Array(circuits),
    awaited: new Set(),
    lastCompleteMs: now,
    known: new Map(),
  };
  awaitAll(io);
  return io;
}

/** Supply comes on: every coil off, the watchdog counts from here. */
export function resetFieldIo(io: FieldIo, now: Ms): void {
  io.coils.fill(0);
  io.compressorCoils.fill(0);
  io.lastCompleteMs = now;
  awaitAll(io);
}

/** Every command coil counts, whether the rig uses it or not: the map is the same for every rig. */
function awaitAll(io: FieldIo): void {
  for (let coil = 0; coil < io.coils.length; coil += 1) io.awaited.add(coil);
  for (let circuit = 0; circuit < io.circuits; circuit += 1) io.awaited.add(COMPRESSOR_COIL_FIRST + circuit);
}

/** Whether commands have stopped coming: from exactly `watchdogMs` after the last complete write on. */
export function isWatchdogExpired(io: FieldIo, now: Ms): boolean {
  return now - io.lastCompleteMs >= io.watchdogMs;
}

/** The moment at which it expires if nothing more is written. */
export function watchdogDueMs(io: FieldIo): Ms {
  return (io.lastCompleteMs + io.watchdogMs) as Ms;
}

/**
 * The terminals as commanded, or as the watchdog has them: a controller that fell silent is treated like a
 * sensor that did, so air moves and nothing that could light or spread gas runs. Alarm and trouble stay as
 * they were last commanded, since a lamp that goes out would say that all is well.
 */
export function terminalsOf(io: FieldIo, now: Ms): Terminals {
  const expired = isWatchdogExpired(io, now);
  let key = Number(expired);
  for (const coil of io.coils) key = 2 * key + coil;
  for (const coil of io.compressorCoils) key = 2 * key + coil;
  const known = io.known.get(key);
  if (known !== undefined) return known;
  const terminals = terminalsWhere(io, expired);
  io.known.set(key, terminals);
  return terminals;
}

function terminalsWhere(io: FieldIo, expired: boolean): Terminals {
  const commanded = (coil: number): boolean => io.coils[coil] === 1;
  return {
    fan: expired || commanded(COILS.fan),
    damper: expired || commanded(COILS.damper),
    heat: !expired && commanded(COILS.heat),
    trouble: commanded(COILS.trouble),
    alarm: commanded(COILS.alarm),
    compressors: Array.from(io.compressorCoils, (coil) => !expired && coil === 1),
  };
}

export interface FieldIoRegisters {
  readonly model: DataModel;
  /** Brings the inputs up to what is wired. */
  refresh(wired: Wired, now: Ms): void;
  /** Dates the write that follows. */
  writeAt(now: Ms): void;
}

/** The module behind its registers. */
export function registersOfFieldIo(io: FieldIo): FieldIoRegisters {
  const signals = new Uint8Array(Object.keys(INPUTS).length);
  const contacts = new Uint8Array(CONTACT_INPUT_LAST - CONTACT_INPUT_FIRST + 1);
  const running = new Uint8Array(io.circuits);
  const registers = new Uint16Array(Object.keys(IO_REGISTERS).length);
  let nowMs = io.lastCompleteMs;
  const coils = writableTable(
    [
      { first: 0, values: io.coils },
      { first: COMPRESSOR_COIL_FIRST, values: io.compressorCoils },
    ],
    {
      // A coil takes on and off, and the protocol's own checks let nothing else through.
      refuses: () => undefined,
      written(address) {
        io.awaited.delete(address);
        if (io.awaited.size > 0) return;
        io.lastCompleteMs = nowMs;
        awaitAll(io);
      },
    },
  );
  return {
    model: {
      coils,
      discreteInputs: readableTable([
        { first: 0, values: signals },
        { first: CONTACT_INPUT_FIRST, values: contacts },
        { first: RUNNING_INPUT_FIRST, values: running },
      ]),
      inputRegisters: readableTable([{ first: 0, values: registers }]),
      identification: IDENTITY,
    },
    writeAt(now) {
      nowMs = now;
    },
    refresh(wired, now) {
      signals[INPUTS.cooling] = Number(wired.cooling);
      signals[INPUTS.heating] = Number(wired.heating);
      signals[INPUTS.fanCall] = Number(wired.fanCall);
      signals[INPUTS.airflow] = Number(wired.airflow);
      signals[INPUTS.serviceReset] = Number(wired.serviceReset);
      signals[INPUTS.fire] = Number(wired.fire);
      contacts.fill(0);
      for (const [input, closed] of wired.contactClosed)
        contacts[input - CONTACT_INPUT_FIRST] = Number(closed);
      wired.compressorRunning.forEach((on, circuit) => {
        running[circuit] = Number(on);
      });
      registers[IO_REGISTERS.airflowM3PerH] = Math.min(REGISTER_MAX, Math.round(wired.airflowM3PerH));
      const sinceS = Math.floor((now - io.lastCompleteMs) / MS_PER_S);
      registers[IO_REGISTERS.sinceCompleteWriteS] = Math.min(REGISTER_MAX, sinceS);
    },
  };
}
