/** Takes orders of searches from a queue on Redis and has them done on all cores of this machine. */
import { randomUUID } from 'node:crypto';
import { type Job, Worker } from 'bullmq';
import { packageVersion } from '../package-version.ts';
import type { Outcome } from './carry-out.ts';
import { threadPool } from './executors.ts';
import { type Asked, queueName } from './queue.ts';
import type { QueueAddress } from './queue-address.ts';
import { connectionTo } from './queue-connection.ts';
import { callRoll, controllerMark, type Present } from './roll-call.ts';

/** A worker that says nothing for this long is taken for lost. It says something at half of that. */
const CLAIM_MS = 6000;
const LOOK_FOR_LOST_EVERY_MS = 3000;
/** Times that an order may be lost with its worker: after that it looks as if it were the order's doing. */
const LOST_MAX = 5;

export interface Working {
  readonly address: QueueAddress;
  /** The command that this machine runs as the controller, and no other; null for the built-in one. */
  readonly command: string | null;
  readonly threads: number;
  readonly say: (sentence: string) => void;
  readonly gone: (reason: string) => void;
}

export interface AtWork {
  readonly done: () => { readonly orders: number; readonly searches: number };
  /** Ends what is under way and hands it in; where the queue is gone, there is nobody to hand it to. */
  readonly end: (queueIsGone: boolean) => Promise<void>;
}

/** Throws Stop where no queue is there. */
export async function atWork({ address, command, threads, say, gone }: Working): Promise<AtWork> {
  const connection = await connectionTo(address);
  const self: Present = {
    ...{ role: 'worker', version: packageVersion(), id: randomUUID() },
    controller: controllerMark(command),
  };
  const pool = threadPool(threads);
  const searches = new Set<string>();
  let orders = 0;
  const take = async ({ data }: Job<Asked, Outcome>): Promise<Outcome> => {
    if (!searches.has(data.search)) say(`Works for search ${shortOf(data.search)}.`);
    searches.add(data.search);
    const outcome = await pool.done({ rig: data.rig, command }, data.order);
    orders += 1;
    return outcome;
  };
  const worker = new Worker<Asked, Outcome>(queueName(self), take, {
    ...{ connection, concurrency: threads, skipVersionCheck: true },
    ...{ lockDuration: CLAIM_MS, stalledInterval: LOOK_FOR_LOST_EVERY_MS, maxStalledCount: LOST_MAX },
  });
  // A claim that was lost is somebody else's order now; that the queue is gone, the roll call tells.
  worker.on('error', () => undefined);
  const client = await worker.client;
  const leave = await callRoll(client, self, { present: othersTold(self, say), gone });
  return {
    done: () => ({ orders, searches: searches.size }),
    end: async (queueIsGone) => {
      await leave();
      await worker.close(queueIsGone);
      await pool.close();
    },
  };
}

/** Says of each search that it cannot work for, once, why. */
function othersTold(self: Present, say: (sentence: string) => void): (all: readonly Present[]) => void {
  const told = new Set<string>();
  return (all) => {
    for (const { role, id, version, controller } of all) {
      if (role !== 'search' || told.has(id)) continue;
      told.add(id);
      const cannot = `A search (${shortOf(id)}) that this worker cannot work for`;
      if (version !== self.version) {
        say(`${cannot} is of version ${version}, and this of ${self.version}: give both the same version.`);
      } else if (controller !== self.controller) {
        say(`${cannot} asks for another controller: start one with its --controller.`);
      }
    }
  };
}

/** What came from the queue is shown to people: only what a name of a search can hold. */
function shortOf(search: unknown): string {
  return String(search)
    .replaceAll(/[^0-9a-f]/gu, '')
    .slice(0, 8);
}
