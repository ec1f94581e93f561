/**
 * What `check` says of a rig's service: a life that is over, and a check that is overdue where the file keeps
 * the days of checks at all. A bench and a drill run the same on any day, and say nothing of it.
 */
import type { Remarks, Rig } from '../../rig/index.ts';
import { rosterRows } from './rows.ts';

export function overdueIn(rig: Rig, today: string): ReturnType<Remarks> {
  return rosterRows(rig, [], today).flatMap(({ sensor, checked, check, life }, index) => [
    ...(checked !== null && check.standing === 'overdue'
      ? [[['sensors', index, 'checked'], `the check of ${sensor} ${check.text}`] as const]
      : []),
    ...(life.standing === 'overdue'
      ? [[['sensors', index, 'installed'], `the service life of ${sensor} ${life.text}`] as const]
      : []),
  ]);
}
