/** What a worker is told, and how it carries it out: the same in this thread, in another, and far away. */
import {
  type BatchOrder,
  type DrillDone,
  runBatch,
  type ShrinkOrder,
  type Smallest,
  shrinkFound,
} from '../../../sim/seek/index.ts';
import { runBuiltIn } from '../drill/run.ts';
import { runCommand } from '../drill/run-command.ts';
import { type PackedRig, unpacked } from './packed-rig.ts';
import { tryWith } from './try.ts';

/** What stays the same through a search. Plain data. */
export interface Setup {
  readonly rig: PackedRig;
  /** Command line of the controller; null for the built-in one. */
  readonly command: string | null;
}

export type Order =
  | { readonly kind: 'batch'; readonly batch: BatchOrder }
  | { readonly kind: 'shrink'; readonly shrink: ShrinkOrder };

export type Outcome = readonly DrillDone[] | Smallest;

export function carryOut({ rig: packedRig, command }: Setup, order: Order): Promise<Outcome> {
  const rig = unpacked(packedRig);
  const tryOne = tryWith(
    rig,
    command === null ? runBuiltIn : (drill, seed) => runCommand(drill, command, seed),
  );
  return order.kind === 'batch' ? runBatch(order.batch, rig, tryOne) : shrinkFound(order.shrink, rig, tryOne);
}
