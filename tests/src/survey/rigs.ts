/** Small rigs, written as people write them, and profiles of other habits beside them. */
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { loadRig, type Rig } from '../../../src/rig/index.ts';
import { compileCodec, loadProfileFile, profileFile, shippedProfiles } from '../../../src/sensor/index.ts';

/** Two reference sensors, one of another make and the field I/O: all as planned. */
export const RIGHT = `rig: 1
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m }
sensors:
  - { id: coil-a, at: cabinet, unitId: 11, serial: "240811" }
  - { id: coil-b, at: cabinet, unitId: 12, serial: "240812" }
  - { id: low, at: room-low, unitId: 13, profile: holding-floats, serial: "HF-77" }
  - { id: high, at: room-high, unitId: 60, profile: bits-and-counts }
  - { id: grille, at: room-low, kind: contact, input: 8 }
`;

const folder = mkdtempSync(join(tmpdir(), 'leakbench-survey-'));

function fileOf(name: string, text: string): string {
  const file = join(folder, name);
  writeFileSync(file, text);
  return file;
}

export function rigOf(text: string): Rig {
  const loaded = loadRig(fileOf('some.rig.yaml', text));
  if (!loaded.ok) throw new Error(loaded.problems.map(({ message }) => message).join('; '));
  return loaded.value;
}

/**
 * The reference profile, its points changed; named like it, so that a rig elsewhere plans the one for the
 * other.
 */
export function variantOfReference(name: string, change: (text: string) => string): string {
  return fileOf(name, change(referenceText()));
}

export const SHIPPED = shippedProfiles().map((name) => {
  const read = loadProfileFile(profileFile(name, '') ?? '');
  if (!read.ok) throw new Error(name);
  return compileCodec(read.value);
});

function referenceText(): string {
  return readFileSync(profileFile('reference', '') ?? '', 'utf8');
}
