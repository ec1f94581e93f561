/** Drill files as texts, beside the demo rig, and what loading one says. */
import { copyFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect } from 'vitest';
import type { Drill } from '../../../sim/drill/drill.ts';
import { loadDrill } from '../../../sim/drill/load-drill.ts';
import { type FileProblem, formatProblem } from '../../../src/files/index.ts';
import { DEMO_FILE } from '../../helpers/demo.ts';
import { editorSays } from '../../helpers/editor.ts';

/** Every key of a drill. */
export const WHOLE = `drill: 1
name: Gas lingers past the hold
why: Gas comes back through the return air; a controller that only counts minutes restarts in it.
rig: ./tide-street.rig.yaml
length: 25 min
calls: { cooling: off }
steps:
  - { at: 30 s,   release: { at: cabinet, rate: 10 g/s, lasts: 7 min } }
  - { at: 90 s,   call:    { cooling: on } }
  - { at: 6 min,  fault:   { in: coil-b, kind: silent, lasts: 2 min } }
  - { at: 16 min, testGas: { at: coil-a, level: 40 %LFL, lasts: 30 s } }
rules: all
expect:
  - { when: coil-a.gas >= setpoint, then: fan, within: 45 s, for: 5 min }
  - { at: 15 min, then: compressor.a }
`;

/** The shortest; a test appends to it, from line 5 on. */
export const SMALLEST = `drill: 1
name: Quiet
rig: tide-street.rig.yaml
length: 10 min
`;

/** The block of a lesson. Behind the smallest drill it begins on line 5, and its solution stands on line 7. */
export const LESSON = `lesson:
  title: The quiet case
  solution: { causes: [no-airflow], where: [fan], next: [find-airflow], restart: [after-mending] }
  shows: The fan does not turn.
  teach:
    - A fan that is commanded is not yet air.
    - The airflow switch tells.
  safeNextStep: Lock out.
`;

interface Loaded {
  readonly drill: Drill | null;
  /** "LINE:COLUMN: sentence", with "FILE:" before it for another file. */
  readonly problems: readonly string[];
  readonly warnings: readonly string[];
}

/** Loads a drill from a folder of its own, which the demo rig stands in. */
export function load(text: string, beside: Readonly<Record<string, string>> = {}): Loaded {
  const folder = mkdtempSync(join(tmpdir(), 'leakbench-drill-'));
  const file = join(folder, 'test.drill.yaml');
  const tell = (problem: FileProblem): string =>
    formatProblem(problem).replace(`${file}:`, '').replace(`${folder}/`, '');
  try {
    copyFileSync(DEMO_FILE, join(folder, 'tide-street.rig.yaml'));
    writeFileSync(file, text);
    for (const [name, content] of Object.entries(beside)) writeFileSync(join(folder, name), content);
    const loaded = loadDrill(file);
    // Whatever the bench takes an editor must take too.
    if (loaded.ok) expect(editorSays('drill', text)).toEqual([]);
    return loaded.ok
      ? { drill: loaded.value, problems: [], warnings: loaded.warnings.map(tell) }
      : { drill: null, problems: loaded.problems.map(tell), warnings: [] };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** The drill of a text that must load without a problem. */
export function drillOf(text: string): Drill {
  const { drill, problems } = load(text);
  if (drill === null) throw new Error(problems.join('\n'));
  return drill;
}
