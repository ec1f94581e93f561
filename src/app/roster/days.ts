/** Days as people write them, YYYY-MM-DD, and counting with them. */
import { MS_PER_DAY } from '../service-life.ts';

/** The day that a calendar on the wall shows here. */
export function dayOf(moment: Date): string {
  const local = moment.getTime() - moment.getTimezoneOffset() * 60_000;
  return new Date(local).toISOString().slice(0, 10);
}

export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / MS_PER_DAY);
}

export function dayAfter(day: string, days: number): string {
  return new Date(Date.parse(day) + days * MS_PER_DAY).toISOString().slice(0, 10);
}

/** "1 day", "270 days"; from two years on in years, which is how people speak of a sensor. */
export function daysText(days: number): string {
  if (days < 2 * DAYS_PER_YEAR) return days === 1 ? '1 day' : `${days} days`;
  return `${Number((days / DAYS_PER_YEAR).toFixed(1))} years`;
}

const DAYS_PER_YEAR = 365.25;
