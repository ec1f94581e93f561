/**
 * The drills that come with the bench, those of the library and the lessons, each held against the rig on
 * which it is to be played: a drill's own rig is not followed.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type FileOutcome, formatProblem, packageRoot } from '../../src/files/index.ts';
import type { Rig } from '../../src/rig/index.ts';
import type { Drill } from './drill.ts';
import type { DrillFile } from './drill-schema.ts';
import { drillOn, readDrillText } from './load-drill.ts';

export interface ShippedDrill {
  /** The name of its file without the ending. */
  readonly id: string;
  /** Its path. */
  readonly file: string;
  /** As it stands in its file, whatever the rig. */
  readonly written: DrillFile;
  /** On the rig; where it names what that lacks, its problems, which name the file without its folder. */
  readonly outcome: FileOutcome<Drill>;
}

/** A file of one has another name than any file of the other: a test sees to it. */
const FOLDERS = ['library', 'lessons'] as const;
const ENDING = '.drill.yaml';

/**
 * In the order of their names, those of the library first. One file a turn of the event loop: at speed 20 a
 * bench that runs has no time for all of them at once.
 */
export async function shippedDrills(rig: Rig): Promise<readonly ShippedDrill[]> {
  const drills: ShippedDrill[] = [];
  for (const [id, file] of shippedFiles()) {
    await new Promise((resolve) => setImmediate(resolve));
    drills.push(shipped(id, file, rig));
  }
  return drills;
}

/** Their paths by their ids, in the same order. */
export function shippedFiles(): ReadonlyMap<string, string> {
  return new Map(
    FOLDERS.flatMap((folder) => {
      const path = join(packageRoot(), 'sim/drill', folder);
      const names = readdirSync(path).filter((name) => name.endsWith(ENDING));
      const ids = names.map((name) => name.slice(0, -ENDING.length)).toSorted();
      return ids.map((id) => [id, join(path, id + ENDING)] as const);
    }),
  );
}

/**
 * Why it cannot be played on the rig, in a sentence; null where it can. Where in the file it says so, and
 * what to write instead, is for whoever writes a drill.
 */
export function misfitOf({ outcome }: ShippedDrill): string | null {
  const [first] = outcome.ok ? [] : outcome.problems;
  if (first === undefined) return null;
  const [what = ''] = first.message.replace(/^[\w[\].]+: /u, '').split('; ');
  return `Not on this rig: ${what}.`;
}

function shipped(id: string, file: string, rig: Rig): ShippedDrill {
  const name = id + ENDING;
  const read = readDrillText(name, readFileSync(file, 'utf8'));
  // What we ship can be read: a test sees to it.
  if (!read.ok) throw new Error(read.problems.map(formatProblem).join('\n'));
  return { id, file, written: read.value.value, outcome: drillOn(rig, name, read.value) };
}
