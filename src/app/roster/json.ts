/** `roster --json`: one document. */
import { CHECK_INTERVALS, SERVICE_LIFE } from '../../rig/index.ts';
import { CAUTION } from '../report/words.ts';
import type { Due } from './due.ts';
import { NO_RECORD, noSelfTest, type RosterResult } from './result.ts';

export function rosterJson({ rig, today, rows, data, record }: RosterResult): string {
  const document = {
    rig: rig.name,
    file: rig.file,
    day: today,
    sensors: rows.map(({ selfTest, alarm, replaced, kind, check, life, ...row }) => ({
      ...row,
      kind,
      check: dueOf(check),
      life: dueOf(life),
      // In words where there is none, so that nobody takes a null for good news.
      selfTest: selfTest ?? noSelfTest({ kind }),
      alarm: alarm ?? NO_RECORD,
      replaced: replaced ?? NO_RECORD,
    })),
    record: { data, ...record },
    checkIntervals: CHECK_INTERVALS.map(({ says, source }) => ({ says, source })),
    serviceLifeSource: SERVICE_LIFE.source,
    caution: CAUTION,
  };
  return `${JSON.stringify(document, null, 2)}\n`;
}

function dueOf({ standing, day, daysLeft, text }: Due) {
  return { standing, day, daysLeft, text };
}
