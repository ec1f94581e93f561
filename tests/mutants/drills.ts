/** The shipped drills, read once. */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Drill, loadDrill } from '../../sim/drill/index.ts';
import { packageRoot } from '../../src/files/index.ts';

const FOLDER = join(packageRoot(), 'sim/drill/library');
const ENDING = '.drill.yaml';

/** By name of file, without its ending. */
export const SHIPPED: ReadonlyMap<string, Drill> = new Map(
  readdirSync(FOLDER)
    .filter((file) => file.endsWith(ENDING))
    .map((file) => [file.slice(0, -ENDING.length), read(join(FOLDER, file))]),
);

export function drillNamed(name: string): Drill {
  const drill = SHIPPED.get(name);
  if (drill === undefined) throw new Error(`no shipped drill ${name}`);
  return drill;
}

function read(file: string): Drill {
  const loaded = loadDrill(file);
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  if (loaded.warnings.length > 0) throw new Error(JSON.stringify(loaded.warnings));
  return loaded.value;
}
