/** What is due of a sensor, and when: its check, and the end of its service life. */
import type { Sensor } from '../../rig/index.ts';
import { MS_PER_DAY, serviceDaysOf } from '../service-life.ts';
import { dayAfter, daysBetween, daysText } from './days.ts';

/** A choice of ours, no source: long enough to order a part and to plan a visit. */
const SOON_DAYS = 30;

export type Standing = 'overdue' | 'due soon' | 'in time' | 'unknown';

export interface Due {
  readonly what: 'check' | 'service life';
  readonly standing: Standing;
  /** null where it is unknown. */
  readonly day: string | null;
  /** Below zero where it is past. */
  readonly daysLeft: number | null;
  /** A sentence without its end. */
  readonly text: string;
}

/** Since when the part that is there has been there; `day` null where only its age is told, or nothing. */
export interface Since {
  readonly day: string | null;
  readonly ageDays: number | null;
}

export function checkOf({ service }: Sensor, since: Since, today: string): Due {
  const { checked, checkEveryMs } = service;
  const what = 'check';
  if (checked !== null && checked > today)
    return unknown(what, `its check is written for ${checked}, which is to come`);
  // A check from before this part came was made of the one that it replaced.
  const counts = checked !== null && (since.day === null || checked >= since.day);
  const [from, word] = counts ? [checked, 'last checked'] : [since.day, 'not checked since it was installed'];
  if (from === null) return unknown(what, 'neither a check nor the day of installation is written down');
  const everyDays = Math.floor(checkEveryMs / MS_PER_DAY);
  const day = dayAfter(from, everyDays);
  return dueOn(what, day, today, `every ${daysText(everyDays)}; ${word} ${from}`);
}

export function lifeOf(sensor: Sensor, { day: since, ageDays }: Since, today: string): Due {
  const what = 'service life';
  if (ageDays === null) return unknown(what, 'its age is not written down');
  const lifeDays = serviceDaysOf(sensor);
  const day = since === null ? dayAfter(today, lifeDays - Math.floor(ageDays)) : dayAfter(since, lifeDays);
  const from = since === null ? `${daysText(Math.floor(ageDays))} old as written` : `installed ${since}`;
  return dueOn(what, day, today, `${daysText(lifeDays)}; ${from}`);
}

function dueOn(what: Due['what'], day: string, today: string, because: string): Due {
  const daysLeft = daysBetween(today, day);
  const standing = daysLeft < 0 ? 'overdue' : daysLeft <= SOON_DAYS ? 'due soon' : 'in time';
  const when =
    daysLeft === 0 ? 'today' : daysLeft < 0 ? `${daysText(-daysLeft)} ago` : `in ${daysText(daysLeft)}`;
  const verb =
    what === 'check' ? (daysLeft < 0 ? 'was due' : 'is due') : daysLeft < 0 ? 'was over' : 'is over';
  return { what, standing, day, daysLeft, text: `${verb} ${day}, ${when} (${because})` };
}

function unknown(what: Due['what'], text: string): Due {
  return { what, standing: 'unknown', day: null, daysLeft: null, text };
}
