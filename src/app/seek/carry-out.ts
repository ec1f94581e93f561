/** What a worker is told, and how it carries it out: the same in this process, in another and elsewhere. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
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
  /** Of the file's text: a worker elsewhere must have the same. */
  readonly rigDigest: string;
  /** Command line of the controller; null for the built-in one. */
  readonly command: string | null;
}

export type Order =
  | { readonly kind: 'batch'; readonly batch: BatchOrder }
  | { readonly kind: 'shrink'; readonly shrink: ShrinkOrder };

export type Outcome = readonly DrillDone[] | Smallest;

/** A worker that cannot work: the message is for a person. */
export class CannotWork extends Error {}

export function rigDigest(file: string): string {
  return createHash('sha256').update(readFileSync(file)).digest('hex');
}

/** Made once a search and worker; throws CannotWork where the rig here is none, or another. */
export function worker(setup: Setup): (order: Order) => Promise<Outcome> {
  const rig = rigOf(setup);
  const tryOne = tryOf(rig, setup.command);
  return (order) =>
    order.kind === 'batch' ? runBatch(order.batch, rig, tryOne) : shrinkFound(order.shrink, rig, tryOne);
}

function rigOf({ rigFile, rigDigest: wanted }: Setup): Rig {
  const loaded = loadRig(rigFile);
  if (!loaded.ok) throw new CannotWork(loaded.problems.map(formatProblem).join('\n'));
  if (rigDigest(rigFile) === wanted) return loaded.value;
  throw new CannotWork(`${rigFile} is another file here than where the search was started; copy it over`);
}

function tryOf(rig: Rig, command: string | null): Try {
  return tryWith(rig, command === null ? runBuiltIn : (drill, seed) => runCommand(drill, command, seed));
}
