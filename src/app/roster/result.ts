/** A roster as its outputs take it, and the words that they share. */
import type { Rig } from '../../rig/index.ts';
import { formatClock } from '../../units/index.ts';
import { daysText } from './days.ts';
import type { Due, Standing } from './due.ts';
import type { OnRecord } from './on-record.ts';
import type { Told } from './past.ts';
import type { RosterRow } from './rows.ts';

export interface RosterResult {
  readonly rig: Rig;
  /** YYYY-MM-DD. */
  readonly today: string;
  readonly rows: readonly RosterRow[];
  readonly data: string;
  readonly record: Pick<OnRecord, 'folders' | 'problems'>;
}

/** A thing that wants a person, the most pressing first. */
export interface Concern {
  readonly sensor: string;
  readonly word: string;
  readonly text: string;
}

const WORDS: Readonly<Record<Standing, string>> = {
  overdue: 'OVERDUE',
  unknown: 'UNKNOWN',
  'due soon': 'due soon',
  'in time': 'in time',
};
const PRESSING = ['OVERDUE', 'DIFFERS', 'UNKNOWN', 'due soon'];

export function standingText({ standing, day }: Due): string {
  return day === null ? WORDS[standing] : `${WORDS[standing]} ${day}`;
}

/** "OVERDUE: was due 2026-03-01, 270 days ago (…)" */
export function dueText({ standing, text }: Due): string {
  return `${WORDS[standing]}: ${text}`;
}

export function concernsOf(rows: readonly RosterRow[]): readonly Concern[] {
  const concerns = rows.flatMap(({ sensor, check, life, differences }) => [
    ...[check, life].flatMap((due) =>
      due.standing === 'in time'
        ? []
        : [
            {
              sensor,
              word: WORDS[due.standing],
              text: `${due.what}${due.day === null ? ':' : ''} ${due.text}`,
            },
          ],
    ),
    ...differences.map((text) => ({ sensor, word: 'DIFFERS', text })),
  ]);
  return concerns.sort((one, other) => PRESSING.indexOf(one.word) - PRESSING.indexOf(other.word));
}

/** "3 sensors: 1 check overdue, 2 unknown" */
export function sumText(rows: readonly RosterRow[]): string {
  const count = rows.length === 1 ? '1 sensor' : `${rows.length} sensors`;
  const dues = rows.flatMap(({ check, life }) => [check, life]);
  const counted = (['overdue', 'unknown', 'due soon'] as const).flatMap((standing) => {
    const of = dues.filter((due) => due.standing === standing).length;
    return of === 0 ? [] : [`${of} ${standing}`];
  });
  return `${count}: ${counted.length === 0 ? 'nothing due' : counted.join(', ')}`;
}

export const NO_RECORD = 'no record';

/** Where no self-test is told: why there is none. */
export function noSelfTest({ kind }: Pick<RosterRow, 'kind'>): string {
  return kind === 'contact' ? 'a contact has none' : NO_RECORD;
}

export function selfTestText(row: RosterRow): string {
  const { selfTest } = row;
  return selfTest === null ? noSelfTest(row) : `${SELF_TEST_WORDS[selfTest.result]} ${momentText(selfTest)}`;
}

const SELF_TEST_WORDS = { passed: 'passed', failed: 'FAILED', awaited: 'no pass since' } as const;

export function alarmText({ alarm }: RosterRow): string {
  return alarm === null ? NO_RECORD : momentText(alarm);
}

/** "2026-11-26 12:03 UTC, bench 0:03:12" */
function momentText({ time, atMs }: Told): string {
  return `${time.slice(0, 10)} ${time.slice(11, 16)} UTC, bench ${formatClock(atMs)}`;
}

const NOT_NAMED = 'not named';

export function partText({ part, profile }: RosterRow): string {
  return part ?? (profile === null ? NOT_NAMED : `profile ${profile}`);
}

export function serialText({ serial }: RosterRow): string {
  return serial ?? NOT_NAMED;
}

export function ageText({ ageDays }: RosterRow): string {
  return ageDays === null ? 'unknown' : daysText(Math.floor(ageDays));
}
