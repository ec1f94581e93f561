/** A watcher of a line that notes what it is told, in order. */
import type { LineWatcher } from '../../../src/line/index.ts';

export function watching(watched: string[]): LineWatcher {
  return {
    connected: () => void watched.push('connected'),
    dropped: (reason) => void watched.push(reason),
    unreachable: (reason) => void watched.push(`no connection: ${reason}`),
  };
}
