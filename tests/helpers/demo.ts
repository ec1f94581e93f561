/** The demo rig, and steps for it, for tests that need the whole ring. */
import { join } from 'node:path';
import { readStep, type Step } from '../../sim/drill/step.ts';
import { packageRoot } from '../../src/files/index.ts';
import { loadRig, type Rig } from '../../src/rig/index.ts';

export const DEMO_FILE = join(packageRoot(), 'src/rig/tide-street.rig.yaml');

export function demoRig(): Rig {
  const loaded = loadRig(DEMO_FILE);
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  return loaded.value;
}

export function stepFor(rig: Rig, written: unknown): Step {
  const read = readStep(written, rig);
  if (!read.ok) throw new Error(read.problem);
  return read.step;
}
