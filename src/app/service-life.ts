/** Age and service life left, from the day of installation. 15 years is common practice, no source. */
import type { ModbusSensor } from '../rig/index.ts';

const SERVICE_YEARS = 15;
const DAYS_PER_YEAR = 365.25;
const MS_PER_DAY = 86_400_000;

export const SERVICE_DAYS_NEW = Math.floor(SERVICE_YEARS * DAYS_PER_YEAR);

/** Today is null in a drill: a run must not come out otherwise tomorrow, so there `installed` says nothing. */
type Today = number | null;

/** As the rig says outright, else from the day of installation; a sensor of unknown age counts as new. */
export function ageDays({ ageMs, installed }: ModbusSensor, todayMs: Today): number {
  if (ageMs !== null) return ageMs / MS_PER_DAY;
  if (installed === null || todayMs === null) return 0;
  return Math.floor((todayMs - Date.parse(installed)) / MS_PER_DAY);
}

/** Whole days, never below 0. */
export function serviceDaysLeft(sensor: ModbusSensor, todayMs: Today): number {
  return Math.max(0, SERVICE_DAYS_NEW - Math.floor(ageDays(sensor, todayMs)));
}
