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

/** All of a rig, powered up but for those that are in their boxes yet. */
export function unitsOf(
  { sensors, policy, refrigerant }: Rig,
  startMs: Ms,
  serviceDaysLeft: (sensor: ModbusSensor) => number,
): readonly Unit[] {
  return sensors.flatMap((sensor, index) => {
    if (sensor.kind === 'contact') return [];
    const device = newDevice(sensor);
    if (!sensor.outOfBox) powerUp(device, startMs);
    const facts = { setpoint: policy.setpoint, refrigerant, serviceDaysLeft: serviceDaysLeft(sensor) };
    return [{ device, registers: registersOf(device), facts, index }];
  });
}
