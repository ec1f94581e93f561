/**
 * A search over many machines: orders go into a queue on Redis, workers take them, and each outcome is
 * counted once, by the search that waits for it. A worker that is lost loses its claim, and its order is done
 * again; an order that is done twice has one name and one outcome.
 *
 * A queue has one version and one controller: no order can meet a worker that would do it otherwise, and
 * nothing in an order says what command is run.
 */
import { randomUUID } from 'node:crypto';
import { setMaxListeners } from 'node:events';
import { Queue, QueueEvents } from 'bullmq';
import { packageVersion } from '../package-version.ts';
import { carryOut, type Order, type Outcome, type Setup } from './carry-out.ts';
import { executorOf, type Workforce } from './executors.ts';
import type { PackedRig } from './packed-rig.ts';
import type { QueueAddress } from './queue-address.ts';
import { atMost, connectionTo, reasonOf } from './queue-connection.ts';
import { callRoll, controllerMark, type Present } from './roll-call.ts';

export interface Asked {
  readonly search: string;
  readonly rig: PackedRig;
  readonly order: Order;
}

/** The search as its queue sees it. */
export interface Asking {
  readonly address: QueueAddress;
  /** As the command line names it. */
  readonly controller: string;
  /** No further batch counts: time is over, somebody has interrupted, or the queue is lost. */
  readonly ended: AbortSignal;
  /** Somebody wants an end, soon. */
  readonly interrupted: AbortSignal;
  readonly say: (sentence: string) => void;
  /** The search cannot go on; it ends with what was found. */
  readonly lost: (reason: string) => void;
}

/** As many as a round has. */
const WIDTH = 32;
const TRIES_MAX = 3;
/** An outcome that nobody fetched, since its search is gone, is thrown away. */
const KEEP = { age: 600 };
const CLOSE_MS_MAX = 2000;

export function queueName({ version, controller }: Pick<Present, 'version' | 'controller'>): string {
  return `leakbench-seek-${version}-${controller}`;
}

/** Throws Stop where no queue is there. */
export async function queued(setup: Setup, asking: Asking): Promise<Workforce> {
  const connection = await connectionTo(asking.address);
  const self: Present = {
    ...{ role: 'search', version: packageVersion(), id: randomUUID() },
    controller: controllerMark(setup.command),
  };
  const options = { connection, skipVersionCheck: true };
  const queue = new Queue<Asked, Outcome>(queueName(self), options);
  const events = new QueueEvents(queue.name, options);
  // The roll call tells when the queue is gone.
  queue.on('error', () => undefined);
  events.on('error', () => undefined);
  await events.waitUntilReady();
  const client = await queue.client;
  const orders = new Orders(queue, events, self.id, setup.rig);
  // A Redis that was started anew may have forgotten them; one that has not, takes none twice.
  client.on('ready', () => {
    orders.askAgain();
  });

  /** Nobody else will do what is left: this machine does it. */
  const alone = new AbortController();
  // One listens for each order under way.
  setMaxListeners(0, asking.ended, alone.signal);
  const lose = (reason: string): void => {
    asking.lost(reason);
    alone.abort();
  };
  asking.interrupted.addEventListener('abort', () => {
    alone.abort();
  });
  const watch = workersWatched(self, asking, lose, () => {
    if (asking.ended.aborted) alone.abort();
  });
  const leave = await callRoll(client, self, {
    present: watch,
    gone: (reason) => {
      lose(`the queue at ${asking.address.shown} is gone: ${reason}`);
    },
  });
  const executor = executorOf(WIDTH, (order) => {
    /** Stays out where no worker could do it: the end of the search puts something in its place. */
    const outcome = (): Promise<Outcome> =>
      new Promise((resolve) => {
        orders.outcome(order).then(resolve, (error: unknown) => {
          lose(`a worker could not do its part: ${reasonOf(error)}`);
        });
      });
    return order.kind === 'batch'
      ? unless(asking.ended, outcome, () => Promise.resolve([]))
      : unless(alone.signal, outcome, () => carryOut(setup, order));
  });
  const close = async (): Promise<void> => {
    await leave();
    await atMost(CLOSE_MS_MAX, orders.takeBack());
    // It would wait for ever where it has not begun to listen.
    await atMost(CLOSE_MS_MAX, events.close());
    client.disconnect();
  };
  return { executor, close };
}

/** What is under way. */
class Orders {
  readonly #queue: Queue<Asked, Outcome>;
  readonly #events: QueueEvents;
  readonly #search: string;
  readonly #rig: PackedRig;
  readonly #underWay = new Map<string, () => void>();
  #count = 0;

  constructor(queue: Queue<Asked, Outcome>, events: QueueEvents, search: string, rig: PackedRig) {
    this.#queue = queue;
    this.#events = events;
    // As many listeners as orders.
    events.setMaxListeners(0);
    queue.setMaxListeners(0);
    this.#search = search;
    this.#rig = rig;
  }

  /** Rejects where no worker could do it. */
  outcome(order: Order): Promise<Outcome> {
    this.#count += 1;
    const name = `${this.#search}-${this.#count}`;
    const outcome = new Promise<Outcome>((resolve, reject) => {
      const ask = (): void => {
        this.#asked(name, order).then(resolve, reject);
      };
      this.#underWay.set(name, ask);
      ask();
    });
    return outcome.finally(() => {
      this.#underWay.delete(name);
      void this.#remove(name);
    });
  }

  askAgain(): void {
    for (const ask of this.#underWay.values()) ask();
  }

  /** Nobody waits for them any more. */
  async takeBack(): Promise<void> {
    await Promise.all([...this.#underWay.keys()].map((name) => this.#remove(name)));
  }

  async #asked(name: string, order: Order): Promise<Outcome> {
    const asked: Asked = { search: this.#search, rig: this.#rig, order };
    const job = await this.#queue.add('order', asked, {
      ...{ jobId: name, attempts: TRIES_MAX, removeOnComplete: KEEP, removeOnFail: KEEP },
    });
    return job.waitUntilFinished(this.#events);
  }

  /** One that a worker holds cannot be taken back. */
  async #remove(name: string): Promise<void> {
    await this.#queue.remove(name).catch(() => undefined);
  }
}

/** Says when nobody is there who could work for the search, and what to do about it; each time it changes. */
function workersWatched(
  self: Present,
  { address, controller, say }: Asking,
  lose: (reason: string) => void,
  nobody: () => void,
): (all: readonly Present[]) => void {
  let said = '';
  const sayOnce = (sentence: string): void => {
    if (sentence !== said && sentence !== '') say(sentence);
    said = sentence;
  };
  const how = `leakbench seek --worker --queue ${address.shown}${controllerOption(controller)}`;
  return (all) => {
    const workers = all.filter(({ role }) => role === 'worker');
    const ofVersion = workers.filter(({ version }) => version === self.version);
    const fitting = ofVersion.filter((one) => one.controller === self.controller);
    if (fitting.length > 0) {
      sayOnce('');
      return;
    }
    nobody();
    if (workers.length > 0 && ofVersion.length === 0) {
      const versions = [...new Set(workers.map(({ version }) => version))].join(', ');
      lose(
        `the workers at the queue are of version ${versions}, this search is of ${self.version}; ` +
          'give all machines the same version',
      );
    } else if (ofVersion.length > 0) {
      sayOnce(
        `The workers at the queue run another controller. This waits for one that was started so:\n  ${how}`,
      );
    } else sayOnce(`No worker is at the queue; this waits. Start one here or on another machine:\n  ${how}`);
  };
}

function controllerOption(controller: string): string {
  return controller === 'builtin' ? '' : ` --controller '${controller.replaceAll("'", `'\\''`)}'`;
}

/** The outcome, or once the signal comes and it is still out, something in its place. */
function unless(
  signal: AbortSignal,
  outcome: () => Promise<Outcome>,
  otherwise: () => Promise<Outcome>,
): Promise<Outcome> {
  if (signal.aborted) return otherwise();
  return new Promise((resolve, reject) => {
    const instead = (): void => {
      otherwise().then(resolve, reject);
    };
    signal.addEventListener('abort', instead, { once: true });
    void outcome().then((value) => {
      signal.removeEventListener('abort', instead);
      resolve(value);
    });
  });
}
