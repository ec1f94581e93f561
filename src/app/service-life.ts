/** Service life left, from the day of installation. 15 years is common practice, no source. */
import type { ModbusSensor } from '../rig/index.ts';

const SERVICE_YEARS = 15;
const DAYS_PER_YEAR = 365.25;
const MS_PER_DAY = 86_400_000;

export const SERVICE_DAYS_NEW = Math.floor(SERVICE_YEARS * DAYS_PER_YEAR);

/** Whole days, never below 0; a sensor of unknown age counts as new. */
export function serviceDaysLeft(sensor: ModbusSensor, todayMs: number): number {
  if (sensor.installed === null) return SERVICE_DAYS_NEW;
  const ageDays = Math.floor((todayMs - Date.parse(sensor.installed)) / MS_PER_DAY);
  return Math.max(0, SERVICE_DAYS_NEW - ageDays);
}
