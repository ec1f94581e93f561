/** Who carries a search's orders out: this thread, or threads beside it. */
import { join } from 'node:path';
import { Piscina } from 'piscina';
import type { DrillDone, Executor, Smallest } from '../../../sim/seek/index.ts';
import { packageRoot } from '../../files/index.ts';
import { type Order, type Outcome, type Setup, worker } from './carry-out.ts';

export interface Workforce {
  readonly executor: Executor;
  readonly close: () => Promise<void>;
}

function workforce(width: number, carryOut: (order: Order) => Promise<Outcome>): Executor {
  return {
    width,
    batch: async (batch) => (await carryOut({ kind: 'batch', batch })) as readonly DrillDone[],
    shrink: async (shrink) => (await carryOut({ kind: 'shrink', shrink })) as Smallest,
  };
}

export function threads(setup: Setup, count: number): Workforce {
  if (count === 1) return { executor: workforce(1, worker(setup)), close: () => Promise.resolve() };
  const pool = new Piscina({
    filename: join(packageRoot(), 'dist/src/app/seek/thread.js'),
    workerData: setup,
    minThreads: count,
    maxThreads: count,
  });
  return {
    executor: workforce(count, (order) => pool.run(order) as Promise<Outcome>),
    close: () => pool.destroy(),
  };
}
