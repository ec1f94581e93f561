/** A search against one controller that has one thing wrong, in this process. */
import { runBatch, type Sought, search, shrinkFound } from '../../sim/seek/index.ts';
import { runInLines } from '../../src/app/drill/run.ts';
import { tryWith } from '../../src/app/seek/try.ts';
import { drillNamed } from './drills.ts';
import type { Mutant } from './mutant.ts';
import { inProcess } from './variant.ts';

/** On the rig of the shipped drill that shows the flaw; which flaw it is the search is not told. */
export function soughtIn({ drill, make }: Mutant, runs: number, seed = 1): Promise<Sought> {
  const { rig } = drillNamed(drill);
  const tryOne = tryWith(rig, (one, seed) => runInLines(one, seed, inProcess(make())));
  const executor = {
    width: 1,
    batch: (order: Parameters<typeof runBatch>[0]) => runBatch(order, rig, tryOne),
    shrink: (order: Parameters<typeof shrinkFound>[0]) => shrinkFound(order, rig, tryOne),
  };
  return search(executor, {
    ...{ rig, seed, runs, pairwise: false, findingsMax: 1 },
    ...{ goOn: () => true, progress: () => undefined },
  });
}
