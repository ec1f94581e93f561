/** Who carries a search's orders out: this thread, or threads beside it. */
import { join } from 'node:path';
import { Piscina } from 'piscina';
import type { DrillDone, Executor, Smallest } from '../../../sim/seek/index.ts';
import { packageRoot } from '../../files/index.ts';
import { Stop } from '../stop.ts';
import { carryOut, type Order, type Outcome, type Setup } from './carry-out.ts';
import type { Stopped } from './thread.ts';

export interface Workforce {
  readonly executor: Executor;
  readonly close: () => Promise<void>;
}

export function executorOf(width: number, done: (order: Order) => Promise<Outcome>): Executor {
  return {
    width,
    batch: async (batch) => (await done({ kind: 'batch', batch })) as readonly DrillDone[],
    shrink: async (shrink) => (await done({ kind: 'shrink', shrink })) as Smallest,
  };
}

export function threads(setup: Setup, count: number): Workforce {
  if (count === 1) {
    return { executor: executorOf(1, (order) => carryOut(setup, order)), close: () => Promise.resolve() };
  }
  const pool = threadPool(count);
  return {
    executor: executorOf(count, (order) => pool.done(setup, order)),
    close: pool.close,
  };
}

export interface ThreadPool {
  readonly done: (setup: Setup, order: Order) => Promise<Outcome>;
  readonly close: () => Promise<void>;
}

export function threadPool(count: number): ThreadPool {
  const pool = new Piscina({
    filename: join(packageRoot(), 'dist/src/app/seek/thread.js'),
    minThreads: count,
    maxThreads: count,
  });
  return {
    done: async (setup, order) => {
      const done = (await pool.run({ setup, order })) as Outcome | Stopped;
      if ('exitCode' in done) throw new Stop(done.exitCode, done.message);
      return done;
    },
    close: () => pool.destroy(),
  };
}
