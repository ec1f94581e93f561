/** A rig as plain data, for another thread or machine: a codec goes as the profile it is made from. */
import type { ModbusSensor, Rig, Sensor } from '../../rig/index.ts';
import { compileCodec, type Profile } from '../../sensor/index.ts';

type PackedSensor =
  | Exclude<Sensor, ModbusSensor>
  | (Omit<ModbusSensor, 'codec'> & { readonly profile: Profile });

export type PackedRig = Omit<Rig, 'sensors'> & { readonly sensors: readonly PackedSensor[] };

export function packed(rig: Rig): PackedRig {
  return { ...rig, sensors: rig.sensors.map(packedSensor) };
}

export function unpacked(rig: PackedRig): Rig {
  return { ...rig, sensors: rig.sensors.map(unpackedSensor) };
}

function packedSensor(sensor: Sensor): PackedSensor {
  if (sensor.kind === 'contact') return sensor;
  const { codec, ...rest } = sensor;
  return { ...rest, profile: codec.profile };
}

function unpackedSensor(sensor: PackedSensor): Sensor {
  if (sensor.kind === 'contact') return sensor;
  const { profile, ...rest } = sensor;
  return { ...rest, codec: compileCodec(profile) };
}
