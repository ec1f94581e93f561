/**
 * Another device at somebody's address: of the same make, in clean air, with a serial of its own. Nothing
 * hangs on it, and whatever is written to it is forgotten.
 */
import { answer } from '../../src/modbus/index.ts';
import type { Rig } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';
import { type Device, type DeviceFacts, newDevice, powerUp, registersOf, valuesOf } from '../device/index.ts';
import { newFieldIo, registersOfFieldIo } from '../equipment/index.ts';

/** A sensor, and what it is made for. */
export interface Original {
  readonly device: Device;
  readonly facts: DeviceFacts;
}

const OTHER_SERIAL = '900001';
const CLEAN_AIR = 0;
const NO_SCATTER = 0;

export function twinOfSensor({ device: { plan }, facts }: Original, pdu: Uint8Array, now: Ms): Uint8Array {
  const twin = newDevice({ ...plan, serial: OTHER_SERIAL });
  powerUp(twin, 0 as Ms);
  const registers = registersOf(twin);
  registers.refresh(valuesOf(twin, CLEAN_AIR, facts, now, NO_SCATTER), now);
  return answer(pdu, registers.model);
}

export function twinOfFieldIo(rig: Rig, pdu: Uint8Array, now: Ms): Uint8Array {
  const registers = registersOfFieldIo(newFieldIo(rig.circuits.length, rig.fieldIo.watchdogMs, now));
  registers.writeAt(now);
  return answer(pdu, registers.model);
}
