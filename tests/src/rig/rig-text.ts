/** Rig files as texts: the smallest that loads, and what loading one says. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect } from 'vitest';
import { type FileProblem, formatProblem } from '../../../src/files/index.ts';
import { loadRig, type Rig } from '../../../src/rig/index.ts';
import { editorSays } from '../../helpers/editor.ts';

/** The smallest rig; a test appends to it (line 7 on) or replaces a part of it. */
export const SMALLEST = `rig: 1
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m }
sensors:
  - { id: coil-a, at: cabinet, unitId: 11 }
`;

/** The smallest rig with more said of its only sensor, from line 6, column 40 on. */
export function sensorWith(rest: string): string {
  return SMALLEST.replace('unitId: 11 }', `${rest} }`);
}

interface Loaded {
  readonly rig: Rig | null;
  /** "FILE:LINE:COLUMN: sentence", or "LINE:COLUMN: sentence" where the file is the rig itself. */
  readonly problems: readonly string[];
  readonly warnings: readonly string[];
}

/** Loads a rig text from a folder of its own, which other files may stand in. */
export function load(text: string, beside: Readonly<Record<string, string>> = {}): Loaded {
  const folder = mkdtempSync(join(tmpdir(), 'leakbench-rig-'));
  const file = join(folder, 'test.rig.yaml');
  const tell = (problem: FileProblem): string =>
    formatProblem(problem).replace(`${file}:`, '').replace(`${folder}/`, '');
  try {
    writeFileSync(file, text);
    for (const [name, content] of Object.entries(beside)) writeFileSync(join(folder, name), content);
    const loaded = loadRig(file);
    // Whatever the bench takes an editor must take too.
    if (loaded.ok) expect(editorSays('rig', text)).toEqual([]);
    return loaded.ok
      ? { rig: loaded.value, problems: [], warnings: loaded.warnings.map(tell) }
      : { rig: null, problems: loaded.problems.map(tell), warnings: [] };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** The rig of a text that must load without a problem. */
export function rigOf(text: string): Rig {
  const { rig, problems } = load(text);
  if (rig === null) throw new Error(problems.join('\n'));
  return rig;
}
