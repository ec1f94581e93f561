/**
 * Whether a record is sound: every file whole, the sequence without a gap, every event one of the catalogue,
 * and the supervisor's course one that can have been.
 *
 * What it cannot show is that nobody wrote the files anew: they bear no signature.
 */
import { basename } from 'node:path';
import { eventSchema } from '../events/event-schema.ts';
import { CATALOGUE, type CloudEvent, eventIdOf } from '../events/index.ts';
import { RecordError } from './record-error.ts';
import {
  closeFiles,
  filesIn,
  missing,
  PAGE_EVENTS,
  type ReadFile,
  type UnreadFile,
} from './record-reader.ts';
import type { StoredRow } from './stored-events.ts';

export interface Unsound {
  readonly file: string;
  /** Of the first event that is not as it should be; null where the file as a whole is not. */
  readonly sequence: number | null;
  readonly problem: string;
}

export interface Verification {
  readonly id: string;
  readonly first: number;
  /** Of the last event that was looked at and is as it should be. */
  readonly last: number;
  readonly files: readonly string[];
  /** The first of each file; none for a sound record. */
  readonly unsound: readonly Unsound[];
}

/** What an event is held against, and what it is for the next. */
interface Walk {
  readonly id: string;
  next: number;
  /** The state that the supervisor stands in; null where that is not known. */
  state: string | null;
}

/** Throws RecordError where there is no record, or none that could be opened. */
export function verifyRecord(folder: string): Verification {
  const files = filesIn(folder);
  try {
    return verified(folder, files);
  } finally {
    closeFiles(files);
  }
}

function verified(folder: string, files: readonly (ReadFile | UnreadFile)[]): Verification {
  const [oldest] = files;
  if (oldest === undefined) throw missing(folder);
  const first = oldest.segment.first;
  const ids = files.flatMap((file) => ('stored' in file ? [file.stored.id] : []));
  const walk: Walk = { id: ids.at(-1) ?? 'unknown', next: first, state: null };
  const unsound = files.flatMap((file, index): readonly Unsound[] => {
    const found = troubleOf(file, walk);
    if (found === null) return [];
    // Each file is held against its own beginning, so that one gap is told once.
    const next = files[index + 1]?.segment.first;
    if (next !== undefined) Object.assign(walk, { next, state: null });
    return [{ file: basename(file.segment.path), ...found }];
  });
  const names = files.map(({ segment }) => basename(segment.path));
  return { id: walk.id, first, last: walk.next - 1, files: names, unsound };
}

type Found = Omit<Unsound, 'file'> | null;

function troubleOf(file: ReadFile | UnreadFile, walk: Walk): Found {
  if ('stored' in file) return wholeTrouble(file, walk) ?? rowTrouble(file, walk);
  if (file.error.kind !== 'damaged') throw file.error;
  return { sequence: null, problem: `the database is damaged: ${causeOf(file.error)}` };
}

function wholeTrouble({ segment, stored }: ReadFile, walk: Walk): Found {
  const whole = (problem: string): Found => ({ sequence: null, problem });
  if (stored.id !== walk.id) return whole('it is a file of another record');
  if (segment.first !== walk.next) {
    return whole(`it begins with sequence ${segment.first}, where ${walk.next} would be next`);
  }
  try {
    const said = stored.database.prepare('PRAGMA integrity_check(1)').all() as Record<string, string>[];
    const [word = 'nothing'] = said.flatMap((row) => Object.values(row));
    return word === 'ok' ? null : whole(`the database is damaged: ${word}`);
  } catch (error) {
    return whole(`the database is damaged: ${String(error)}`);
  }
}

function rowTrouble({ stored }: ReadFile, walk: Walk): Found {
  for (;;) {
    let rows: readonly StoredRow[];
    try {
      rows = stored.rowsAfter(walk.next - 1, PAGE_EVENTS);
    } catch (error) {
      if (!(error instanceof RecordError)) throw error;
      return { sequence: walk.next, problem: `it cannot be read: ${causeOf(error)}` };
    }
    for (const row of rows) {
      const problem = problemOf(row, walk);
      if (problem !== null) return { sequence: walk.next, problem };
      walk.next += 1;
    }
    if (rows.length < PAGE_EVENTS) return null;
  }
}

function causeOf({ cause }: RecordError): string {
  return cause instanceof Error ? cause.message : 'what it must hold is not there';
}

function problemOf(row: StoredRow, walk: Walk): string | null {
  if (row.sequence !== walk.next) return `it is missing; the next that is there is ${row.sequence}`;
  const event = parsed(row.event);
  if (event === null) return 'it is no event in JSON';
  if (event.sequence !== row.sequence || event.id !== `${walk.id}-${row.sequence}` || event.type !== row.type)
    return 'it says of itself that it is another event';
  const id = eventIdOf(event);
  if (id === undefined) return `its type ${event.type} is not in the catalogue of this version`;
  const fields = CATALOGUE[id].fields.safeParse(event.data.fields);
  const [issue] = fields.error?.issues ?? [];
  if (issue !== undefined)
    return `its field ${issue.path.join('.')} is not as the catalogue says: ${issue.message}`;
  return courseProblem(event, walk);
}

function parsed(text: string): CloudEvent | null {
  try {
    const event = eventSchema.safeParse(JSON.parse(text));
    return event.success ? event.data : null;
  } catch {
    return null;
  }
}

/** Nothing changes the mitigation but from the state that it stood in. */
function courseProblem(event: CloudEvent, walk: Walk): string | null {
  const { from, to, state } = event.data.fields;
  const stood = walk.state;
  const contradicts = (told: unknown): string | null =>
    stood === null || told === stood
      ? null
      : `the supervisor is told to have been ${String(told)}, but it was ${stood}`;
  switch (eventIdOf(event)) {
    case 'supervisor.started':
      walk.state = String(state);
      return null;
    case 'mitigation.changed':
      walk.state = String(to);
      return contradicts(from);
    case 'supervisor.stopped':
      walk.state = null;
      return contradicts(state);
    case 'bench.started':
    case 'bench.reset':
    case 'facts.lost':
      walk.state = null;
      return null;
    default:
      return null;
  }
}
