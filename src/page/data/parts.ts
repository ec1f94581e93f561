/** The parts of a rig that a person can do something to, and what can be done to each. */
import type { FaultKind, RigView } from '../types.ts';
import { outputsOf } from './outputs.ts';

export interface Part {
  readonly id: string;
  readonly isSensor: boolean;
  readonly hasPower: boolean;
  readonly faults: readonly FaultKind[];
}

/** What each word in a fault's `targets` means in this rig; a word not listed names a part itself. */
const TARGETS: Readonly<Record<string, (rig: RigView) => readonly string[]>> = {
  sensor: (rig) => rig.sensors.filter((sensor) => sensor.kind === 'modbus').map((sensor) => sensor.id),
  contact: (rig) => rig.sensors.filter((sensor) => sensor.kind === 'contact').map((sensor) => sensor.id),
  compressor: (rig) => rig.circuits.map((circuit) => `compressor.${circuit}`),
  output: (rig) => outputsOf(rig).map((output) => `output.${output}`),
  line: (rig) => rig.lines.map((line) => line.id),
};

export function partsOf(rig: RigView): readonly Part[] {
  const faults = new Map<string, FaultKind[]>(rig.sensors.map((sensor) => [sensor.id, []]));
  for (const kind of rig.faultKinds) {
    for (const id of new Set(kind.targets.flatMap((target) => TARGETS[target]?.(rig) ?? [target]))) {
      faults.set(id, [...(faults.get(id) ?? []), kind]);
    }
  }
  for (const id of ['controller', 'rig']) faults.set(id, faults.get(id) ?? []);
  const sensors = new Set(rig.sensors.map((sensor) => sensor.id));
  return [...faults].map(([id, kinds]) => ({
    id,
    isSensor: sensors.has(id),
    hasPower: sensors.has(id) || id === 'controller' || id === 'rig',
    faults: kinds,
  }));
}
