/** A worker thread: carries out what it is handed, with the setup that it was started with. */
import { workerData } from 'node:worker_threads';
import { type Order, type Outcome, type Setup, worker } from './carry-out.ts';

/** Piscina wraps what it was given. */
const [, setup] = workerData as readonly [unknown, Setup];
const carryOut = worker(setup);

export default function thread(order: Order): Promise<Outcome> {
  return carryOut(order);
}
