/** Age and service life left of a sensor, from the day of installation. */
import type { ModbusSensor, Sensor } from '../rig/index.ts';

export const MS_PER_DAY = 86_400_000;

/** Today is null in a drill: a run must not come out otherwise tomorrow, so there `installed` says nothing. */
export type Today = number | null;

/** As the rig says outright, else from the day of installation; a sensor of unknown age counts as new. */
export function ageDays({ ageMs, installed }: ModbusSensor, todayMs: Today): number {
  if (ageMs !== null) return ageMs / MS_PER_DAY;
  if (installed === null || todayMs === null) return 0;
  return Math.floor((todayMs - Date.parse(installed)) / MS_PER_DAY);
}

/** Of a new one. */
export function serviceDaysOf({ service }: Sensor): number {
  return Math.floor(service.lifeMs / MS_PER_DAY);
}

/** Whole days, never below 0. */
export function serviceDaysLeft(sensor: ModbusSensor, todayMs: Today): number {
  return Math.max(0, serviceDaysOf(sensor) - Math.floor(ageDays(sensor, todayMs)));
}
