/** A worker thread: carries out what it is handed. */
import { Stop } from '../stop.ts';
import { carryOut, type Order, type Outcome, type Setup } from './carry-out.ts';

/** Between threads an error keeps its message alone: one that a person should understand is a value. */
export type Stopped = Pick<Stop, 'exitCode' | 'message'>;

export default async function thread(task: {
  readonly setup: Setup;
  readonly order: Order;
}): Promise<Outcome | Stopped> {
  try {
    return await carryOut(task.setup, task.order);
  } catch (error) {
    if (error instanceof Stop) return { exitCode: error.exitCode, message: error.message };
    throw error;
  }
}
