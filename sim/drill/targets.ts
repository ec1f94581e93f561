/** What steps can be done to, by the names that a drill calls them. */
import type { Rig } from '../../src/rig/index.ts';
import type { FaultTarget } from '../faults/index.ts';

/** Each kind of target in a sentence. */
export const TARGET_WORDS: Readonly<Record<FaultTarget, string>> = {
  sensor: 'a Modbus sensor',
  contact: 'a contact sensor',
  fan: 'the fan',
  airflow: 'the airflow switch (airflow)',
  compressor: 'a compressor',
  output: 'an output',
  fieldIo: 'the field I/O (fieldIo)',
};

/** Everything a fault can be put in. */
export function targetsOf(rig: Rig): ReadonlyMap<string, FaultTarget> {
  const compressors = rig.circuits.map((circuit) => `compressor.${circuit}`);
  const outputs = ['fan', 'damper', 'heat', 'alarm', 'trouble', ...compressors];
  return new Map<string, FaultTarget>([
    ...rig.sensors.map((sensor) => [sensor.id, sensor.kind === 'contact' ? 'contact' : 'sensor'] as const),
    ['fan', 'fan'],
    ['airflow', 'airflow'],
    ['fieldIo', 'fieldIo'],
    ...compressors.map((compressor) => [compressor, 'compressor'] as const),
    ...outputs.map((output) => [`output.${output}`, 'output'] as const),
  ]);
}

/** What gas can be held at. */
export function sensorsOf(rig: Rig): readonly string[] {
  return rig.sensors.map((sensor) => sensor.id);
}

/** What has a supply of its own that a step can cut. */
export function suppliedOf(rig: Rig): readonly string[] {
  return ['controller', 'rig', ...sensorsOf(rig)];
}
