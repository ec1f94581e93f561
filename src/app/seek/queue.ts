/**
 * A search over many machines: orders go into a queue on Redis, any number of workers take them, and each
 * outcome is counted once. A worker that is lost loses its claim after a while, and its order is done again.
 */
import { randomUUID } from 'node:crypto';
import { type Job, Queue, QueueEvents, UnrecoverableError, Worker } from 'bullmq';
import { packageVersion } from '../package-version.ts';
import { EXIT, Stop } from '../stop.ts';
import { CannotWork, type Order, type Outcome, type Setup, worker } from './carry-out.ts';
import { type Workforce, workforce } from './executors.ts';

const QUEUE = 'leakbench-seek';
/** A worker that says nothing for this long is taken for lost. Shrinking may take many drills. */
const CLAIM_MS = 10_000;
const LOOK_FOR_LOST_EVERY_MS = 5000;
/** Times that an order may be lost with its worker before the search gives up. */
const LOST_MAX = 5;
/** Orders under way at once: more than the workers of a room. */
const WIDTH = 32;
const KEEP_OUTCOMES_S = 3600;

interface Asked {
  readonly version: string;
  readonly setup: Setup;
  readonly order: Order;
}

/** Throws Stop where no queue is there. */
export async function queued(url: string, setup: Setup): Promise<Workforce> {
  const connection = await connectionTo(url);
  const queue = new Queue(QUEUE, { connection });
  const events = new QueueEvents(QUEUE, { connection });
  await events.waitUntilReady();
  const search = randomUUID();
  let count = 0;
  const carryOut = async (order: Order): Promise<Outcome> => {
    const asked: Asked = { version: packageVersion(), setup, order };
    count += 1;
    const job = await queue.add('order', asked, {
      jobId: `${search}-${count}`,
      removeOnComplete: { age: KEEP_OUTCOMES_S },
      removeOnFail: { age: KEEP_OUTCOMES_S },
    });
    try {
      return (await job.waitUntilFinished(events)) as Outcome;
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      throw new Stop(EXIT.surroundings, `a worker could not carry out its part: ${reason}`);
    }
  };
  return {
    executor: workforce(WIDTH, carryOut),
    close: async () => {
      await events.close();
      await queue.close();
    },
  };
}

/** Takes orders until it is told to stop; throws Stop where no queue is there. */
export async function work(url: string): Promise<() => Promise<void>> {
  const connection = await connectionTo(url);
  const known = new Map<string, ReturnType<typeof worker>>();
  const carryOut = async (job: Job<Asked, Outcome>): Promise<Outcome> => {
    const { version, setup, order } = job.data;
    const own = packageVersion();
    if (version !== own) {
      throw new UnrecoverableError(
        `a search of version ${version} met a worker of version ${own}; use one version`,
      );
    }
    const key = JSON.stringify(setup);
    try {
      const does = known.get(key) ?? worker(setup);
      known.set(key, does);
      return await does(order);
    } catch (error) {
      // No other try would make it better.
      throw error instanceof CannotWork ? new UnrecoverableError(error.message) : error;
    }
  };
  const taking = new Worker<Asked, Outcome>(QUEUE, carryOut, {
    connection,
    concurrency: 1,
    lockDuration: CLAIM_MS,
    stalledInterval: LOOK_FOR_LOST_EVERY_MS,
    maxStalledCount: LOST_MAX,
  });
  await taking.waitUntilReady();
  return () => taking.close();
}

async function connectionTo(url: string) {
  const { Redis } = await import('ioredis');
  const probe = new Redis(url, { lazyConnect: true, retryStrategy: () => null, maxRetriesPerRequest: 1 });
  probe.on('error', () => undefined);
  try {
    await probe.connect();
    await probe.ping();
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new Stop(
      EXIT.surroundings,
      `there is no queue at ${url}: ${reason}; start Redis there, or leave --queue out to use this machine alone`,
    );
  } finally {
    probe.disconnect();
  }
  return { url, maxRetriesPerRequest: null };
}
