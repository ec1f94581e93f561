/** How each of the 247 addresses of a line stands: planned, asked, answering. */
import type { PolledLine } from './types.ts';

export const STANDING_ORDER = ['answers', 'silent', 'missed', 'unplanned', 'nobody'] as const;
export type Standing = (typeof STANDING_ORDER)[number];

/** Addresses of devices on one line (MB-SER 2.2). */
export const ADDRESSES: readonly number[] = Array.from({ length: 247 }, (_, index) => index + 1);

/** An address that is not in the map is neither planned nor asked. */
export function standings({ addresses }: PolledLine): ReadonlyMap<number, Standing> {
  const [planned, asked, answering] = [addresses.planned, addresses.asked, addresses.answering].map(
    (ids) => new Set(ids),
  );
  const standing = (id: number): Standing | null => {
    if (planned?.has(id) === true) {
      if (asked?.has(id) !== true) return 'missed';
      return answering?.has(id) === true ? 'answers' : 'silent';
    }
    if (asked?.has(id) !== true) return null;
    return answering?.has(id) === true ? 'unplanned' : 'nobody';
  };
  return new Map(
    ADDRESSES.flatMap((id) => {
      const one = standing(id);
      return one === null ? [] : [[id, one] as const];
    }),
  );
}
