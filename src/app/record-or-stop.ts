/** The record of a folder, opened for a command. */
import { type EventRecord, openRecord, RECORD_BYTES_MIN, RecordError } from '../record/index.ts';
import { parseQuantity } from '../units/index.ts';
import { EXIT, Stop } from './stop.ts';

/** Throws Stop where the folder cannot hold it. */
export function recordOrStop(folder: string, rigName: string, limit?: string): EventRecord {
  const limitBytes = limit === undefined ? undefined : limitOption(limit);
  return orStop(() => openRecord({ folder, rigName, limitBytes }));
}

/** Trouble with a record ends the command with its own sentence. */
export function orStop<Result>(work: () => Result): Result {
  try {
    return work();
  } catch (error) {
    throw asStop(error);
  }
}

export function asStop(error: unknown): unknown {
  return error instanceof RecordError ? new Stop(EXIT.surroundings, error.message) : error;
}

function limitOption(written: string): number {
  const bytes = parseQuantity(written, 'storage');
  if (typeof bytes !== 'number') {
    throw new Stop(EXIT.usage, `--record-limit ${written}: ${bytes.problem}`);
  }
  if (bytes >= RECORD_BYTES_MIN) return bytes;
  throw new Stop(EXIT.usage, `--record-limit ${written}: it takes 64 MiB or more, such as 1GiB`);
}
