/** `record list`: what is recorded in a folder, and in the folders in it. */
import { basename } from 'node:path';
import { type CloudEvent, rigNameOf } from '../../events/index.ts';
import { type Count, missing, openReader, RecordError, type RecordReader } from '../../record/index.ts';
import { recordFolders } from '../record-folders.ts';
import { CAUTION } from '../report/words.ts';
import { EXIT, Stop } from '../stop.ts';
import type { RecordFolder } from './record-export.ts';

type Told = Pick<CloudEvent, 'sequence' | 'time' | 'type'>;

interface Listed {
  readonly folder: string;
  readonly id: string;
  readonly rigs: readonly string[];
  readonly events: number;
  readonly first: Told | null;
  readonly last: Told | null;
  readonly bySeverity: Readonly<Record<string, number>>;
  readonly bytes: number;
  readonly files: readonly string[];
}
/** A record that could not be read through. */
interface Troubled {
  readonly folder: string;
  readonly problem: string;
}

const MIB = 1024 ** 2;

export function recordList({ data, json }: RecordFolder): void {
  const found = recordFolders(data).flatMap((folder): readonly (Listed | Troubled)[] => {
    const one = listed(folder);
    return one === null ? [] : [one];
  });
  if (found.length === 0) {
    throw new Stop(EXIT.surroundings, missing(data).message);
  }
  const text = found.map((one) => ('problem' in one ? `${one.folder}: ${one.problem}\n` : sheet(one)));
  process.stdout.write(
    json === true ? `${JSON.stringify({ caution: CAUTION, records: found }, null, 2)}\n` : text.join('\n'),
  );
  if (found.some((one) => 'problem' in one)) process.exitCode = EXIT.surroundings;
}

/** null where the folder holds none. */
function listed(folder: string): Listed | Troubled | null {
  let reader: RecordReader | undefined;
  try {
    reader = openReader(folder);
    return summary(folder, reader);
  } catch (error) {
    if (!(error instanceof RecordError)) throw error;
    return error.kind === 'missing' ? null : { folder, problem: error.message };
  } finally {
    reader?.close();
  }
}

function summary(folder: string, reader: RecordReader): Listed {
  const counts = reader.counts();
  const { first, last } = reader;
  return {
    folder,
    id: reader.id,
    rigs: [...new Set(counts.map(({ source }) => rigNameOf(source)))],
    events: counts.reduce((sum, { count }) => sum + count, 0),
    first: toldAfter(reader, first - 1),
    last: toldAfter(reader, last - 1),
    bySeverity: bySeverity(counts),
    bytes: reader.files.reduce((sum, { bytes }) => sum + bytes, 0),
    files: reader.files.map(({ segment }) => basename(segment.path)),
  };
}

function toldAfter(reader: RecordReader, sequence: number): Told | null {
  for (const { sequence: at, time, type } of reader.events(sequence)) return { sequence: at, time, type };
  return null;
}

function bySeverity(counts: readonly Count[]): Readonly<Record<string, number>> {
  const sums: Record<string, number> = {};
  for (const { severity, count } of counts) sums[severity] = (sums[severity] ?? 0) + count;
  return sums;
}

function sheet({ folder, id, rigs, events, first, last, bySeverity: sums, bytes, files }: Listed): string {
  const told = (event: Told | null): string =>
    event === null ? 'none' : `${event.sequence}  ${event.time}  ${event.type}`;
  const counted = Object.entries(sums).map(([severity, count]) => `${severity} ${count}`);
  return [
    `${folder}: record ${id}`,
    `  rig     ${rigs.join(', ')}`,
    `  events  ${events}${counted.length === 0 ? '' : ` (${counted.join(', ')})`}`,
    `  first   ${told(first)}`,
    `  last    ${told(last)}`,
    `  files   ${files.join(', ')}, ${(bytes / MIB).toFixed(1)} MiB`,
    '',
  ].join('\n');
}
