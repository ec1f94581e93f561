/**
 * Who is at the queue: every search and every worker puts itself on one list, again and again, and reads who
 * else is there. It is also how each notices that the queue itself is gone.
 *
 * One step in Redis, by Redis's own clock: come, strike out who has not come for a while, read the list.
 */
import { createHash } from 'node:crypto';
import { atMost, type Client, reasonOf } from './queue-connection.ts';

export interface Present {
  readonly role: 'search' | 'worker';
  readonly version: string;
  /** What stands for the controller: `builtin`, or a digest of its command, which nobody else need read. */
  readonly controller: string;
  readonly id: string;
}

const LIST = 'leakbench-seek:present';
const EVERY_MS = 1000;
const STAYS_S = 5;
/** Calls without an answer until the queue is gone. Counted, so that a machine asleep loses nothing. */
const MISSED_MAX = 5;
const LEAVE_MS_MAX = 1000;

const COMMAND = 'leakbenchPresent';
const SCRIPT = `
local now = tonumber(redis.call('TIME')[1])
redis.call('ZADD', KEYS[1], now + tonumber(ARGV[2]), ARGV[1])
redis.call('ZREMRANGEBYSCORE', KEYS[1], '-inf', now)
return redis.call('ZRANGE', KEYS[1], 0, -1)`;

export function controllerMark(command: string | null): string {
  return command === null ? 'builtin' : createHash('sha256').update(command).digest('hex').slice(0, 16);
}

export interface Heard {
  readonly present: (all: readonly Present[]) => void;
  readonly gone: (reason: string) => void;
}

/**
 * Hears once before it returns. The function that comes back ends it: a worker is off the list at once, a
 * search after a while, so that workers which cannot work for it hear of it, however soon it ends.
 */
export async function callRoll(client: Client, self: Present, heard: Heard): Promise<() => Promise<void>> {
  client.defineCommand(COMMAND, { numberOfKeys: 1, lua: SCRIPT });
  const come = async (staysS: number): Promise<readonly Present[]> =>
    presentIn(await client.runCommand(COMMAND, [LIST, textOf(self), staysS]));
  heard.present(await come(STAYS_S));
  let missed = 0;
  let reason = 'it does not answer any more';
  const timer = setInterval(() => {
    if (missed === MISSED_MAX) {
      clearInterval(timer);
      heard.gone(reason);
      return;
    }
    missed += 1;
    come(STAYS_S).then(
      (all) => {
        missed = 0;
        heard.present(all);
      },
      (error: unknown) => {
        reason = reasonOf(error);
      },
    );
  }, EVERY_MS);
  return async () => {
    clearInterval(timer);
    if (self.role === 'worker') await atMost(LEAVE_MS_MAX, come(0));
  };
}

function textOf({ role, version, controller, id }: Present): string {
  return [role, version, controller, id].join(' ');
}

const PRESENT = /^(search|worker) (\d[\w.+-]*) (builtin|[0-9a-f]{16}) ([0-9a-f-]{36})$/u;

/** What others wrote there is shown to people: anything that does not look as ours is not there. */
function presentIn(list: unknown): readonly Present[] {
  if (!Array.isArray(list)) return [];
  return list.flatMap((text: unknown) => {
    const [, role, version = '', controller = '', id = ''] = PRESENT.exec(String(text)) ?? [];
    return role === 'search' || role === 'worker' ? [{ role, version, controller, id }] : [];
  });
}
