/** A worker thread: carries out what it is handed, with the setup that it was started with. */
import { Piscina } from 'piscina';
import { type Order, type Outcome, type Setup, worker } from './carry-out.ts';

const carryOut = worker(Piscina.workerData as Setup);

export default function thread(order: Order): Promise<Outcome> {
  return carryOut(order);
}
