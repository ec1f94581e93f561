/** The drills that come with the bench. */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Drill, loadDrill } from '../../sim/drill/index.ts';
import { packageRoot } from '../../src/files/index.ts';

const LIBRARY = join(packageRoot(), 'sim/drill/library');
const ENDING = '.drill.yaml';

export const SHIPPED: readonly string[] = readdirSync(LIBRARY)
  .filter((file) => file.endsWith(ENDING))
  .map((file) => file.slice(0, -ENDING.length))
  .sort();

export function shippedDrill(name: string): Drill {
  const loaded = loadDrill(join(LIBRARY, name + ENDING));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  return loaded.value;
}
