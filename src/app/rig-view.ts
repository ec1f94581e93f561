/** The rig as the API shows it. */
import { FAULTS, parametersTold } from '../../sim/faults/index.ts';
import type { RigView } from '../api/rig-view-schema.ts';
import { type FileProblem, formatProblem } from '../files/index.ts';
import { PLACES, type Rig, SETPOINT_SOURCE, type Sensor } from '../rig/index.ts';
import { CAUTIONS } from './cautions.ts';

const S_PER_H = 3600;

export function rigView(
  rig: Rig,
  warnings: readonly FileProblem[],
  addresses: ReadonlyMap<string, readonly string[]>,
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
      ...(sensor.kind === 'modbus'
        ? { serial: sensor.serial, unitId: sensor.unitId, line: sensor.line }
        : { serial: null, unitId: null, line: null }),
    })),
    policy: { ...policy },
    setpoint: { percentLfl: policy.setpoint, clearBelow: policy.clearBelow, source: SETPOINT_SOURCE },
    warnings: warnings.map(formatProblem),
    faultKinds: faultKinds(rig),
    places: [...PLACES],
    cautions: [...CAUTIONS],
  };
}

/** Where a parameter takes what only the rig can tell, that is another of its Modbus sensors. */
function faultKinds({ sensors }: Rig): RigView['faultKinds'] {
  const others = sensors.flatMap(({ kind, id }) => (kind === 'modbus' ? [id] : []));
  return Object.entries(FAULTS).map(([kind, row]) => ({
    kind,
    targets: [...row.targets],
    meaning: row.meaning,
    chance: row.drawn,
    parameters: parametersTold(row).map(({ choices, ...parameter }) => ({
      ...parameter,
      choices: choices !== null ? [...choices] : parameter.example === null ? others : null,
    })),
  }));
}

function whereIs(sensor: Sensor): string {
  return sensor.kind === 'modbus'
    ? `line ${sensor.line}, address ${sensor.unitId}`
    : `input ${sensor.input}, ${sensor.contact.replaceAll('-', ' ')}`;
}
