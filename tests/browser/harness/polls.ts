/**
 * A poll report of a real fold: a controller that counts from 1, leaves a sensor out, and asks where nobody
 * is.
 */
import type { PollReport } from '../../../sim/poll-report/index.ts';
import { Asking, COIL_A, read, rightCycle } from '../../sim/poll-report/asking.ts';

export function wrongPolls(): PollReport {
  const asking = new Asking();
  asking.timeoutMs = 50;
  asking.cycles(40, 1000, () => {
    rightCycle(asking, [
      [COIL_A, read(4, 1, 8)],
      [77, read(3, 5, 2)],
    ]);
  });
  return asking.report();
}

export function rightPolls(): PollReport {
  const asking = new Asking();
  asking.cycles(40, 1000, () => {
    rightCycle(asking);
  });
  return asking.report();
}
