/**
 * One virtual Modbus sensor: power, self-test, ageing, comparator and faults → everything it publishes.
 *
 * The world owns this state and changes it only through the functions here; `sensed` is the gas its element
 * feels after its own lag, in %LFL. Nothing ticks: whatever depends on time is worked out when it is asked.
 */

import { percentVolOf, toPercentLfl } from '../../src/refrigerant/index.ts';
import { type ModbusSensor, timeConstantMs } from '../../src/rig/index.ts';
import type { SensorState, SensorValues } from '../../src/sensor/index.ts';
import { type Ms, ms, percentLfl } from '../../src/units/index.ts';
import { type Fault, faultOf } from '../faults/index.ts';
import { changeOtherGas, noOtherGas } from './other-gas.ts';
import { poisonedAnew, recoveryMs } from './poison.ts';
import { type Element, type ElementFacts, readingOf, setpointOf } from './reading.ts';

export interface Device extends Element {
  /** The address it answers at, and the one it takes up at the next power-up. */
  address: number;
  nextAddress: number;
  /** null without supply. */
  poweredSinceMs: Ms | null;
  /** When its last self-test began: at power-up, or when commanded. */
  testingSinceMs: Ms;
  /** Time in operation before this power-up. */
  operatedMs: number;
  /** The write key opens register 0 until then. */
  keyUntilMs: number;
  /** The lamp identifies until then. */
  identifyUntilMs: number;
  /** What stuck faults hold on to, each taken when its fault was put in. */
  held: Held;
  /** A rebooting sensor counts its periods from here, or from its last power-up. */
  rebootsFromMs: Ms;
  /** Moment of the measurement that the scatter was drawn for. */
  scatterAtMs: number;
}

interface Held {
  readonly reading?: number;
  readonly status?: Status;
  readonly counter?: number;
}

/** What a sensor of this rig is made for. */
export interface DeviceFacts extends ElementFacts {
  /** Service life left at bench time zero, days. */
  readonly serviceDaysLeft: number;
}

interface Status {
  readonly state: SensorState;
  readonly gasBit: boolean;
  readonly selfTestPassed: boolean;
  readonly failedBit: boolean;
  readonly serviceDue: boolean;
  readonly saturated: boolean;
}

const MS_PER_S = 1000;
const MS_PER_H = 3_600_000;
const MS_PER_DAY = 86_400_000;
/** A register of the measurement counter holds no more. */
export const COUNTER_WRAPS_AT = 0x10000;
/** The bench keeps one temperature (20 °C): nothing on it depends on another yet. */
const TEMPERATURE_C = 20;

/**
 * Without supply, at its planned address; the world powers it up. Out of the box it has its factory address,
 * unless that is set by hand: whoever plugs it in has set the switch before, or bought the right part.
 */
export function newDevice(plan: ModbusSensor): Device {
  const { addressSetBy, factoryAddress } = plan.codec.profile;
  const address = plan.outOfBox && addressSetBy === 'register' ? factoryAddress : plan.unitId;
  return {
    plan,
    address,
    nextAddress: address,
    poweredSinceMs: null,
    testingSinceMs: 0 as Ms,
    operatedMs: 0,
    keyUntilMs: Number.NEGATIVE_INFINITY,
    identifyUntilMs: Number.NEGATIVE_INFINITY,
    faults: [],
    held: {},
    rebootsFromMs: 0 as Ms,
    poison: null,
    otherGas: null,
    scatter: 0,
    scatterAtMs: Number.NEGATIVE_INFINITY,
  };
}

/** Supply comes on: a new address is taken up, a self-test begins, what was asked for before is forgotten. */
export function powerUp(device: Device, now: Ms): void {
  device.address = device.nextAddress;
  device.poweredSinceMs = now;
  device.testingSinceMs = now;
  device.keyUntilMs = Number.NEGATIVE_INFINITY;
  device.identifyUntilMs = Number.NEGATIVE_INFINITY;
}

/** Supply goes: hours of operation are kept, as a meter in non-volatile memory would. */
export function powerDown(device: Device, now: Ms): void {
  if (device.poweredSinceMs === null) return;
  device.operatedMs += now - device.poweredSinceMs;
  device.poweredSinceMs = null;
}

/**
 * A sensor that reboots again and again begins anew at every whole period since that fault or its power-up.
 */
export function bringUpTo(device: Device, now: Ms): void {
  const reboots = faultOf(device.faults, 'reboots');
  if (reboots === undefined || device.poweredSinceMs === null) return;
  const fromMs = Math.max(device.poweredSinceMs, device.rebootsFromMs);
  const periods = Math.floor((now - fromMs) / reboots.parameters.every);
  if (periods <= 0) return;
  const atMs = (fromMs + periods * reboots.parameters.every) as Ms;
  powerDown(device, atMs);
  powerUp(device, atMs);
}

/** Puts faults in force; what a stuck fault holds on to is what stood just before. */
export function setFaults(
  device: Device,
  faults: readonly Fault[],
  sensed: number,
  facts: DeviceFacts,
  now: Ms,
): void {
  const { held } = device;
  const has = (kind: Fault['kind']): boolean => faults.some((one) => one.kind === kind);
  const reading = readingOf(device, sensed, facts, now, 0);
  const starts = has('reboots') && faultOf(device.faults, 'reboots') === undefined;
  if (starts) device.rebootsFromMs = now;
  device.held = {
    ...(has('stuck') && { reading: held.reading ?? reading }),
    ...(has('stuck-state') && { status: held.status ?? statusOf(device, reading, facts, now) }),
    ...(has('frozen-counter') && { counter: held.counter ?? counterOf(device, now) }),
  };
  bringPoison(device, faults, now);
  bringOtherGas(device, faults, facts, now);
  device.faults = faults;
}

/** A vapour that comes dulls the element; without the fault it has come round, or is another. */
function bringPoison(device: Device, faults: readonly Fault[], now: Ms): void {
  const poisoned = faultOf(faults, 'poisoned');
  if (poisoned === faultOf(device.faults, 'poisoned')) return;
  device.poison = poisoned === undefined ? null : poisonedAnew(device.poison, poisoned.parameters, now);
}

/**
 * The vapour is gone and the element begins to come round: how long until it counts as sound; null where it
 * was gone before, and nobody can hurry that. Until then its fault stays in force.
 */
export function endPoison(device: Device, now: Ms): Ms | null {
  if (device.poison?.goneMs !== null) return null;
  device.poison = { ...device.poison, goneMs: now };
  return recoveryMs(device.poison);
}

function bringOtherGas(device: Device, faults: readonly Fault[], facts: DeviceFacts, now: Ms): void {
  const by = faultOf(faults, 'other-gas')?.parameters.by;
  if (by === undefined && device.otherGas === null) return;
  device.otherGas ??= noOtherGas(device.plan, now);
  const { responseT90Ms, deadTimeMs } = device.plan;
  const t90Ms = faultOf(faults, 'slow')?.parameters.t90 ?? responseT90Ms;
  const tauMs = timeConstantMs({ responseT90Ms: ms(t90Ms), deadTimeMs });
  changeOtherGas(device.otherGas, by === undefined ? 0 : toPercentLfl(by, facts.refrigerant), tauMs, now);
}

/**
 * Everything the sensor publishes at `now`; `scatter` is a draw from the standard normal distribution, used
 * by a noisy sensor only.
 */
export function valuesOf(
  device: Device,
  sensed: number,
  facts: DeviceFacts,
  now: Ms,
  scatter: number,
): SensorValues {
  const { held } = device;
  const live = readingOf(device, sensed, facts, now, scatter);
  const measured = held.reading ?? live;
  const status = statusOf(device, live, facts, now);
  const blank = status.state === 'warming-up' || status.state === 'failed';
  const poweredMs = device.poweredSinceMs === null ? 0 : now - device.poweredSinceMs;
  const told = held.status ?? status;
  // Field by field, since a spread would make every poll of every sensor several times as dear.
  return {
    state: told.state,
    gasBit: told.gasBit,
    selfTestPassed: told.selfTestPassed,
    failedBit: told.failedBit,
    serviceDue: told.serviceDue,
    saturated: told.saturated,
    gasPercentLfl: blank ? null : measured,
    gasPercentVol: blank ? null : percentVolOf(percentLfl(measured), facts.refrigerant),
    setpointPercentLfl: setpointOf(device, facts),
    faultCode: faultCodeOf(device),
    hours: Math.floor((device.operatedMs + poweredMs) / MS_PER_H),
    serviceDaysLeft: serviceDaysLeft(device, facts, now),
    temperatureC: TEMPERATURE_C,
    counter: held.counter ?? counterOf(device, now),
    refrigerant: facts.refrigerant.name,
    serial: device.plan.serial ?? '',
  };
}

/**
 * A sensor measures once a second and has one draw of its own noise for each measurement, so that two reads
 * of it never contradict each other; without noise nothing is drawn.
 */
export function measure(device: Device, now: Ms, draw: { normal(): number }): void {
  if (device.plan.noisePercentLfl === 0) return;
  const sinceMs = device.poweredSinceMs ?? now;
  const atMs = now - ((now - sinceMs) % MS_PER_S);
  if (device.scatterAtMs === atMs) return;
  device.scatterAtMs = atMs;
  device.scatter = draw.normal();
}

/** True while the supply is there and the self-test is still running. */
function isTesting(device: Device, now: Ms): boolean {
  return (
    faultOf(device.faults, 'stuck-warm-up') !== undefined ||
    now - device.testingSinceMs < device.plan.selfTestMs
  );
}

/** State and bits. Failure hides gas, and a self-test hides both gas and the pass of the test before. */
function statusOf(device: Device, reading: number, facts: DeviceFacts, now: Ms): Status {
  const failed = faultOf(device.faults, 'self-failed') !== undefined;
  const testing = isTesting(device, now);
  const gas = !failed && !testing && reading >= setpointOf(device, facts);
  return {
    state: failed ? 'failed' : testing ? 'warming-up' : gas ? 'gas' : 'measuring',
    gasBit: gas,
    selfTestPassed: !failed && !testing,
    failedBit: failed,
    serviceDue: serviceDaysLeft(device, facts, now) === 0,
    saturated: faultOf(device.faults, 'saturated') !== undefined,
  };
}

/** 0 none; 1 unless the fault says another; a worn-out sensor still measures, so it has no code. */
function faultCodeOf(device: Device): number {
  return faultOf(device.faults, 'self-failed')?.parameters.code ?? 0;
}

/** Counts down with bench time; a worn-out sensor has none, whatever the calendar says. */
function serviceDaysLeft(device: Device, facts: DeviceFacts, now: Ms): number {
  if (faultOf(device.faults, 'worn-out') !== undefined) return 0;
  return Math.max(0, facts.serviceDaysLeft - Math.floor(now / MS_PER_DAY));
}

/** One measurement a second since power-up. */
function counterOf(device: Device, now: Ms): number {
  const sinceMs = device.poweredSinceMs ?? now;
  return Math.floor((now - sinceMs) / MS_PER_S) % COUNTER_WRAPS_AT;
}
