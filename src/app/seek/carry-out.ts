/** What a worker is told, and how it carries it out: the same in this thread and in another. */
import {
  type BatchOrder,
  type DrillDone,
  runBatch,
  type ShrinkOrder,
  type Smallest,
  shrinkFound,
  type Try,
} from '../../../sim/seek/index.ts';
import { formatProblem } from '../../files/index.ts';
import { loadRig, type Rig } from '../../rig/index.ts';
import { runBuiltIn } from '../drill/run.ts';
import { runCommand } from '../drill/run-command.ts';
import { tryWith } from './try.ts';

/** What stays the same through a search. Plain data. */
export interface Setup {
  readonly rigFile: string;
  /** Command line of the controller; null for the built-in one. */
  readonly command: string | null;
}

export type Order =
  | { readonly kind: 'batch'; readonly batch: BatchOrder }
  | { readonly kind: 'shrink'; readonly shrink: ShrinkOrder };

export type Outcome = readonly DrillDone[] | Smallest;

/** Made once a search and worker. */
export function worker(setup: Setup): (order: Order) => Promise<Outcome> {
  const rig = rigOf(setup.rigFile);
  const tryOne = tryOf(rig, setup.command);
  return (order) =>
    order.kind === 'batch' ? runBatch(order.batch, rig, tryOne) : shrinkFound(order.shrink, rig, tryOne);
}

/** The search has read it before; only a file that was changed meanwhile fails here. */
function rigOf(file: string): Rig {
  const loaded = loadRig(file);
  if (!loaded.ok) throw new Error(loaded.problems.map(formatProblem).join('\n'));
  return loaded.value;
}

function tryOf(rig: Rig, command: string | null): Try {
  return tryWith(rig, command === null ? runBuiltIn : (drill, seed) => runCommand(drill, command, seed));
}
