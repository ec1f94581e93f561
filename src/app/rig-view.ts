/** The rig as the API shows it. */
import type { RigView } from '../api/bench-port.ts';
import { type FileProblem, formatProblem } from '../files/index.ts';
import { type Rig, SETPOINT_SOURCE, type Sensor } from '../rig/index.ts';
import { CAUTIONS } from './cautions.ts';

const S_PER_H = 3600;

export function rigView(
  rig: Rig,
  warnings: readonly FileProblem[],
  addresses: ReadonlyMap<string, readonly string[]>,
  faultKinds: RigView['faultKinds'],
): RigView {
  const { room, refrigerant, policy } = rig;
  return {
    name: rig.name,
    refrigerant: {
      name: refrigerant.name,
      lflKgPerM3: refrigerant.lflKgPerM3,
      source: refrigerant.source,
    },
    chargeKg: rig.chargeKg,
    room: { floorM2: room.floorM2, heightM: room.heightM, volumeM3: room.floorM2 * room.heightM },
    cabinet: { volumeM3: rig.cabinet.volumeM3 },
    fan: { airflowM3PerH: rig.fan.airflowM3PerS * S_PER_H, spinUpMs: rig.fan.spinUpMs },
    circuits: [...rig.circuits],
    heat: rig.heat,
    lines: rig.lines.map((line) => ({ id: line.id, address: (addresses.get(line.id) ?? []).join(', ') })),
    sensors: rig.sensors.map((sensor) => ({
      id: sensor.id,
      at: sensor.at,
      kind: sensor.kind,
      where: whereIs(sensor),
    })),
    policy: { ...policy },
    setpoint: { percentLfl: policy.setpoint, clearBelow: policy.clearBelow, source: SETPOINT_SOURCE },
    warnings: warnings.map(formatProblem),
    faultKinds,
    cautions: [...CAUTIONS],
  };
}

function whereIs(sensor: Sensor): string {
  return sensor.kind === 'modbus'
    ? `line ${sensor.line}, address ${sensor.unitId}`
    : `input ${sensor.input}, ${sensor.contact.replaceAll('-', ' ')}`;
}
