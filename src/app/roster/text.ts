/** A roster for people at a terminal: who is where, what is due, what is on record. */
import { CHECK_INTERVALS, SERVICE_LIFE } from '../../rig/index.ts';
import { plain, wrapped } from '../report/text-lines.ts';
import { aligned, type TextOptions, textSheet } from '../report/text-sheet.ts';
import { CAUTION } from '../report/words.ts';
import { MS_PER_DAY } from '../service-life.ts';
import { daysText } from './days.ts';
import {
  ageText,
  alarmText,
  concernsOf,
  NO_RECORD,
  partText,
  type RosterResult,
  selfTestText,
  serialText,
  standingText,
  sumText,
} from './result.ts';
import type { RosterRow } from './rows.ts';

const HEADS = ['sensor', 'place', 'address', 'part', 'serial', 'installed', 'age', 'life left', 'check'];

export function rosterText(result: RosterResult, options: TextOptions): string {
  const { rig, today, rows, data, record } = result;
  const { paint, width } = textSheet(options);
  const table = aligned([HEADS, ...rows.map(cells)]).map((line) => `  ${line.trimEnd()}`);
  const concerns = concernsOf(rows);
  const told = aligned([
    ['sensor', 'last self-test', 'last alarm', 'replaced'],
    ...rows.map((row) => [row.sensor, selfTestText(row), alarmText(row), replacedText(row)]),
  ]);
  return [
    ...wrapped(`${plain(rig.name)}, ${today}. ${sumText(rows)}`, width),
    '',
    paint('dim', table[0] ?? ''),
    ...rows.map((row, index) => paintOf(row, table[index + 1] ?? '', paint)),
    ...(concerns.length > 0 ? ['', 'To do'] : []),
    ...concerns.flatMap(({ sensor, word, text }) => {
      const lines = wrapped(plain(`${sensor}: ${text}`), width - 12).map(
        (line, index) => `  ${(index === 0 ? word : '').padEnd(8)}  ${line}`,
      );
      return word === 'OVERDUE' ? lines.map((line) => paint('red', line)) : lines;
    }),
    '',
    `On record in ${data}${record.folders.length === 0 ? ': no record there' : ''}`,
    ...told.map((line) => `  ${line.trimEnd()}`),
    ...record.problems.map((problem) => paint('red', `  NOT READ  ${problem}`)),
    '',
    ...sourceLines().flatMap((line) => wrapped(line, width)),
    ...wrapped(CAUTION, width),
    '',
  ].join('\n');
}

function cells(row: RosterRow): readonly string[] {
  const { sensor, place, address, installed, life, check } = row;
  return [
    sensor,
    place,
    address,
    plain(partText(row)),
    serialText(row),
    installed ?? 'unknown',
    ageText(row),
    life.daysLeft === null ? 'unknown' : life.daysLeft <= 0 ? 'none' : daysText(life.daysLeft),
    standingText(check),
  ];
}

function paintOf({ check, life }: RosterRow, line: string, paint: ReturnType<typeof textSheet>['paint']) {
  return check.standing === 'overdue' || life.standing === 'overdue' ? paint('red', line) : line;
}

function replacedText({ replaced }: RosterRow): string {
  return replaced === null ? NO_RECORD : `${replaced.time.slice(0, 10)}, by ${plain(replaced.by)}`;
}

/** Who asks for a check, and how long a sensor serves. */
export function sourceLines(): readonly string[] {
  const lifeText = daysText(Math.floor(SERVICE_LIFE.ms / MS_PER_DAY));
  return [
    ...CHECK_INTERVALS.map(({ says, source }) => `Checks: ${says}; ${source}`),
    `Service life: ${lifeText} unless the rig says otherwise; ${SERVICE_LIFE.source}`,
  ];
}
