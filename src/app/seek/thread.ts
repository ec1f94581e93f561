/** A worker thread: carries out what it is handed. */
import { carryOut, type Order, type Outcome, type Setup } from './carry-out.ts';

export default function thread(task: { readonly setup: Setup; readonly order: Order }): Promise<Outcome> {
  return carryOut(task.setup, task.order);
}
