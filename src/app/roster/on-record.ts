/** What the records below a folder hold of a rig's sensors; each is read while others may write it. */
import { type CloudEvent, sourcesOf } from '../../events/index.ts';
import { openReader, RecordError } from '../../record/index.ts';
import { recordFolders } from '../record-folders.ts';
import { OF_SERVICE } from './past.ts';

export interface OnRecord {
  readonly events: readonly CloudEvent[];
  /** Of the records that were read. */
  readonly folders: readonly string[];
  /** Why others could not be read to their ends. */
  readonly problems: readonly string[];
}

export function onRecord(data: string, rigName: string): OnRecord {
  const events: CloudEvent[] = [];
  const folders: string[] = [];
  const problems: string[] = [];
  const sources = sourcesOf(rigName);
  for (const folder of recordFolders(data)) {
    try {
      const reader = openReader(folder);
      folders.push(folder);
      try {
        for (const event of reader.back(OF_SERVICE)) if (event.source.startsWith(sources)) events.push(event);
      } finally {
        reader.close();
      }
    } catch (error) {
      if (!(error instanceof RecordError)) throw error;
      if (error.kind !== 'missing') problems.push(error.message);
    }
  }
  return { events, folders, problems };
}
