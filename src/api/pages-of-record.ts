/** Pages of the record as bytes. Clients that come back together read the same, so the last are kept. */
import type { EventRecord } from '../record/index.ts';
import { type Frames, framesOf } from './frames.ts';

/** About 100 KB a page. */
const PAGE_EVENTS = 250;
const KEPT_BYTES_MAX = 4 * 1024 * 1024;

/** The next page after a sequence; null at the end of the record. Throws what the record throws. */
export function pagesOf(record: EventRecord): (after: number) => Frames | null {
  const kept = new Map<number, Frames>();
  let keptBytes = 0;
  const keep = (after: number, page: Frames): void => {
    kept.set(after, page);
    keptBytes += page.bytes;
    for (const [oldest, { bytes }] of kept) {
      if (keptBytes <= KEPT_BYTES_MAX) return;
      kept.delete(oldest);
      keptBytes -= bytes;
    }
  };
  return (wanted) => {
    // Kept pages must hold no event that is out of the record by now.
    const after = Math.max(wanted, record.firstSequence() - 1);
    const known = kept.get(after);
    if (known !== undefined) return known;
    const events = record.readAfter(after, PAGE_EVENTS);
    if (events.length === 0) return null;
    const page = framesOf(events);
    // One that is not full yet will be another a moment later.
    if (events.length === PAGE_EVENTS) keep(after, page);
    return page;
  };
}
