/** A Modbus sensor of the rig: its device, and where it hangs. */
import type { ModbusSensor, Rig } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';
import {
  type Device,
  type DeviceFacts,
  type DeviceRegisters,
  newDevice,
  powerUp,
  registersOf,
} from '../device/index.ts';

export interface Unit {
  readonly device: Device;
  readonly registers: DeviceRegisters;
  readonly facts: DeviceFacts;
  /** Index among the rig's sensors, by which the atmosphere knows it. */
  readonly index: number;
}

const MS_PER_DAY = 86_400_000;

/** A rig without a date knows no more of a sensor's age than it says outright. */
export function toldAgeDays({ ageMs }: ModbusSensor): number {
  return (ageMs ?? 0) / MS_PER_DAY;
}

/** All of a rig, powered up but for those that are in their boxes yet. */
export function unitsOf(
  { sensors, policy, refrigerant }: Rig,
  startMs: Ms,
  serviceDaysLeft: (sensor: ModbusSensor) => number,
  ageDays: (sensor: ModbusSensor) => number,
): readonly Unit[] {
  return sensors.flatMap((sensor, index) => {
    if (sensor.kind === 'contact') return [];
    const device = newDevice(sensor);
    if (!sensor.outOfBox) powerUp(device, startMs);
    const facts = {
      setpoint: policy.setpoint,
      refrigerant,
      serviceDaysLeft: serviceDaysLeft(sensor),
      ageDays: ageDays(sensor),
    };
    return [{ device, registers: registersOf(device), facts, index }];
  });
}
