/** `roster [RIG]`: the sensors as a service record. What is due is information, and no rule that is broken. */
import { save, terminal } from '../output.ts';
import { rigOrStop } from '../rig-option.ts';
import { rosterCsv } from '../roster/csv.ts';
import { dayOf } from '../roster/days.ts';
import { rosterHtml } from '../roster/html.ts';
import { rosterJson } from '../roster/json.ts';
import { onRecord } from '../roster/on-record.ts';
import { rosterRows } from '../roster/rows.ts';
import { rosterText } from '../roster/text.ts';
import { EXIT } from '../stop.ts';

export interface RosterOptions {
  readonly data: string;
  readonly json?: true;
  readonly csv?: string;
  readonly html?: string;
}

export async function roster(rigFile: string | undefined, options: RosterOptions): Promise<void> {
  const { rig } = rigOrStop(rigFile);
  const { data } = options;
  const today = dayOf(new Date());
  const { events, ...record } = onRecord(data, rig.name);
  const result = { rig, today, rows: rosterRows(rig, events, today), data, record };
  if (options.csv !== undefined) save(options.csv, rosterCsv(result));
  if (options.html !== undefined) save(options.html, await rosterHtml(result));
  process.stdout.write(options.json === true ? rosterJson(result) : rosterText(result, terminal()));
  // A list that may lack what is on record is no whole list.
  if (record.problems.length > 0) process.exitCode = EXIT.surroundings;
}
