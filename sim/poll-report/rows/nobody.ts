/** Nothing was heard at all: nothing is wrong then, which must not look as if all were well. */
import type { Finding, Seen } from './seen.ts';
import { serialSettings } from './timing.ts';

/** Not where frames came that nobody could read: somebody asks there. */
export function nobodyAsks(seen: Seen): readonly Finding[] {
  if (seen.report.requests > 0 || serialSettings(seen).length > 0) return [];
  const text = 'Nobody has asked anything yet. Point a controller at a line of this bench.';
  return [{ line: null, unitId: null, who: null, text }];
}
