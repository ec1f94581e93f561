/** The trouble of a record that something meets; its absence fails the test. */
import { RecordError } from '../../../src/record/index.ts';

export function troubleOf(act: () => unknown): RecordError {
  try {
    act();
  } catch (error) {
    if (error instanceof RecordError) return error;
    throw error;
  }
  throw new Error('there was no trouble');
}
