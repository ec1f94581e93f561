/** The record of a folder, opened for a command. */
import { type EventRecord, openRecord, RecordError } from '../record/index.ts';
import { EXIT, Stop } from './stop.ts';

/** Throws Stop where the folder cannot hold it. */
export function recordOrStop(folder: string, rigName: string): EventRecord {
  try {
    return openRecord({ folder, rigName });
  } catch (error) {
    if (error instanceof RecordError) throw new Stop(EXIT.surroundings, error.message);
    throw error;
  }
}
