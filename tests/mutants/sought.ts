/** A search against one controller that has one thing wrong, in this process, and what it found run again. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { loadDrill } from '../../sim/drill/index.ts';
import {
  type Executor,
  type Finding,
  runBatch,
  type Sought,
  search,
  shrinkFound,
} from '../../sim/seek/index.ts';
import { runInLines } from '../../src/app/drill/run.ts';
import { drillFileName, drillFileText } from '../../src/app/seek/drill-file.ts';
import { type RunDrill, tryWith } from '../../src/app/seek/try.ts';
import type { Rig } from '../../src/rig/index.ts';
import { freshFolder } from '../helpers/bench-process.ts';
import { drillNamed } from './drills.ts';
import { judged } from './judged.ts';
import type { Mistold } from './mistold.ts';
import type { Mutant } from './mutant.ts';
import { runSupervised } from './supervised.ts';
import { inProcess } from './variant.ts';

/** What `drill` draws by where no seed is given. */
const DRAWN_BY = 1;

/** A controller, and the rig of the shipped drill that shows its flaw; which flaw it is the search is not told. */
export interface Suspect {
  readonly name: string;
  readonly rig: Rig;
  readonly run: RunDrill;
}

export function suspectOf({ name, drill, make }: Mutant): Suspect {
  const run: RunDrill = (one, seed) => runInLines(one, seed, inProcess(make()));
  return { name, rig: drillNamed(drill).rig, run };
}

export function mistoldSuspect({ name, drill, believed }: Mistold): Suspect {
  const run: RunDrill = (one, seed) => runSupervised(one, seed, believed);
  return { name: `(supervisor) ${name}`, rig: drillNamed(drill).rig, run };
}

export function inThisProcess(rig: Rig, run: RunDrill): Executor {
  const tryOne = tryWith(rig, run);
  return {
    width: 1,
    batch: (order) => runBatch(order, rig, tryOne),
    shrink: (order) => shrinkFound(order, rig, tryOne),
  };
}

/** Until the first finding. */
export function soughtIn({ rig, run }: Suspect, runs: number, seed = 1): Promise<Sought> {
  return search(inThisProcess(rig, run), {
    ...{ rig, seed, runs, pairwise: false, findingsMax: 1 },
    ...{ goOn: () => true, progress: () => undefined },
  });
}

/** What breaks when the written drill is read and run as `drill` does. */
export async function brokenAgain({ rig, run, name }: Suspect, finding: Finding): Promise<readonly string[]> {
  const folder = freshFolder();
  const file = join(folder, drillFileName(finding));
  writeFileSync(file, drillFileText(finding, rig.file, folder, name));
  const loaded = loadDrill(file);
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  const drill = loaded.value;
  return judged(drill, await run(drill, DRAWN_BY)).broken;
}
