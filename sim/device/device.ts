/**
 * One virtual Modbus sensor: power, self-test, ageing, comparator and faults → everything it publishes.
 *
 * The world owns this state and changes it only through the functions here; `sensed` is the gas its element
 * feels after its own lag, in %LFL. Nothing ticks: whatever depends on time is worked out when it is asked.
 */

import { percentLflOf, percentVolOf, type Refrigerant, toPercentLfl } from '../../src/refrigerant/index.ts';
import type { ModbusSensor } from '../../src/rig/index.ts';
import type { SensorState, SensorValues } from '../../src/sensor/index.ts';
import { type Ms, type PercentLfl, percentLfl } from '../../src/units/index.ts';
import { type Fault, faultOf } from '../faults/index.ts';

export interface Device {
  readonly plan: ModbusSensor;
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
  faults: readonly Fault[];
  /** What stuck faults hold on to, each taken when its fault was put in. */
  held: Held;
  /** A rebooting sensor counts its periods from here, or from its last power-up. */
  rebootsFromMs: Ms;
}

interface Held {
  readonly reading?: number;
  readonly status?: Status;
  readonly counter?: number;
}

/** What a sensor of this rig is made for. */
export interface DeviceFacts {
  readonly setpoint: PercentLfl;
  readonly refrigerant: Refrigerant;
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
const COUNTER_WRAPS_AT = 0x10000;
/** The bench keeps one temperature (20 °C): nothing on it depends on another yet. */
const TEMPERATURE_C = 20;
/** Counts to the %LFL where the profile has no point to say so, or one that is a float. */
const COUNTS_PER_PERCENT = 10;
/** A level in whole counts may come out of a conversion, or of a lag, a rounding error below them. */
const CONVERSION_DUST_COUNTS = 1e-6;

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
  const reading = readingOf(device, sensed, facts, 0);
  const starts = has('reboots') && faultOf(device.faults, 'reboots') === undefined;
  if (starts) device.rebootsFromMs = now;
  device.held = {
    ...(has('stuck') && { reading: held.reading ?? reading }),
    ...(has('stuck-state') && { status: held.status ?? statusOf(device, reading, facts, now) }),
    ...(has('frozen-counter') && { counter: held.counter ?? counterOf(device, now) }),
  };
  device.faults = faults;
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
  const live = readingOf(device, sensed, facts, scatter);
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

/** True while the supply is there and the self-test is still running. */
function isTesting(device: Device, now: Ms): boolean {
  return (
    faultOf(device.faults, 'stuck-warm-up') !== undefined ||
    now - device.testingSinceMs < device.plan.selfTestMs
  );
}

/** What the element and its electronics make of the gas: never below zero, never above pure vapour. */
function readingOf(device: Device, sensed: number, facts: DeviceFacts, scatter: number): number {
  const { faults } = device;
  const { refrigerant } = facts;
  let reading = faultOf(faults, 'blind') === undefined ? sensed : 0;
  reading *= faultOf(faults, 'gain')?.parameters.factor ?? 1;
  reading *= faultOf(faults, 'worn-out')?.parameters.factor ?? 1;
  const offset = faultOf(faults, 'offset')?.parameters.by;
  if (offset !== undefined) {
    reading +=
      Math.sign(offset.value) * toPercentLfl({ ...offset, value: Math.abs(offset.value) }, refrigerant);
  }
  const noise = faultOf(faults, 'noisy')?.parameters.by;
  if (noise !== undefined) reading += scatter * toPercentLfl(noise, refrigerant);
  const saturated = faultOf(faults, 'saturated')?.parameters.at;
  if (saturated !== undefined) reading = toPercentLfl(saturated, refrigerant);
  const pure = percentLflOf(refrigerant.vapourKgPerM3, refrigerant);
  const bounded = Math.min(Math.max(reading, 0), pure);
  return wholeCounts(bounded, countsPerPercent(device));
}

/**
 * Reading and setpoint are kept to the whole counts that the register shows, so that number, bits and state
 * never disagree. Both are cut, not rounded: gas at the setpoint reads so, and gas below it does not.
 */
function wholeCounts(value: number, perPercent: number): number {
  return Math.floor(value * perPercent + CONVERSION_DUST_COUNTS) / perPercent;
}

function countsPerPercent(device: Device): number {
  const { gasPercentLfl } = device.plan.codec.profile.points;
  const counted = gasPercentLfl !== undefined && gasPercentLfl.type !== 'f32';
  return counted ? 1 / gasPercentLfl.scale : COUNTS_PER_PERCENT;
}

function setpointOf(device: Device, facts: DeviceFacts): number {
  const perPercent = countsPerPercent(device);
  return Math.max(1 / perPercent, wholeCounts(facts.setpoint, perPercent));
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
