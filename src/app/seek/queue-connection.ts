/**
 * The way to Redis: tried once, plainly, before anything is built on it, so that whoever gave a wrong address
 * or password is told in a sentence. The client library reports some of this on the console by itself; what
 * would make it do so (a check of the version, a password that nobody asked for) is settled here first.
 */
import { RedisConnection } from 'bullmq';
import { EXIT, Stop } from '../stop.ts';
import type { QueueAddress } from './queue-address.ts';

const CONNECT_MS_MAX = 3000;
const TRY_AGAIN_MS = 500;
/** The library waits so long for a connection to close, even one that never was. */
const CLOSE_MS_MAX = 50;
/** Orders are kept in structures that older ones lack. */
const REDIS_MAJOR_MIN = 6;

export type Connection = Awaited<ReturnType<typeof connectionTo>>;
export type Client = Awaited<RedisConnection['client']>;

/** Options of a lasting connection, which comes back by itself; throws Stop where there is no queue. */
export async function connectionTo(address: QueueAddress) {
  const { host, port, tls, database, username, password } = address;
  const way = {
    ...{ host, port, connectTimeout: CONNECT_MS_MAX },
    // What it would ask is asked here, and a refusal of it would be printed.
    enableReadyCheck: false,
    ...(tls ? { tls: { servername: host } } : {}),
  };
  const wantsPassword = await tried(way, address);
  return {
    ...{ ...way, db: database, maxRetriesPerRequest: null, retryStrategy: () => TRY_AGAIN_MS },
    ...(wantsPassword && password !== undefined ? { password } : {}),
    ...(wantsPassword && username !== undefined ? { username } : {}),
  };
}

/** Whether the password that was given is wanted. */
async function tried(way: object, { shown, username, password, database }: QueueAddress): Promise<boolean> {
  const probe = new RedisConnection(
    {
      ...{ ...way, retryStrategy: () => null, maxRetriesPerRequest: 1 },
      ...{ commandTimeout: CONNECT_MS_MAX, disconnectTimeout: CLOSE_MS_MAX },
    },
    { blocking: false, skipVersionCheck: true },
  );
  probe.on('error', () => undefined);
  let client: Client | null = null;
  try {
    client = await probe.client;
    const wanted = password !== undefined && (await takesPassword(client, username, password));
    await client.runCommand('select', [database]);
    checkVersion(await client.info());
    return wanted;
  } catch (error) {
    throw new Stop(
      EXIT.surroundings,
      `there is no queue at ${shown}: ${reasonOf(error)}. ` +
        'Start Redis there, or leave --queue out to seek on this machine alone',
    );
  } finally {
    client?.disconnect();
    await probe.close(true);
  }
}

async function takesPassword(client: Client, username: string | undefined, password: string) {
  try {
    await client.runCommand('auth', username === undefined ? [password] : [username, password]);
    return true;
  } catch (error) {
    if (/without any password|no password is set/u.test(reasonOf(error))) return false;
    throw error;
  }
}

function checkVersion(info: string): void {
  const version = /^redis_version:(\d+)\.(\S+)/mu.exec(info);
  if (Number(version?.[1] ?? REDIS_MAJOR_MIN) >= REDIS_MAJOR_MIN) return;
  throw new Error(`it is Redis ${version?.[1]}.${version?.[2]}, and it takes ${REDIS_MAJOR_MIN} or newer`);
}

/** Waits for what is polite to do, and not for ever: a connection that is gone never says so. */
export async function atMost(waitMs: number, polite: Promise<unknown>): Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  const waited = new Promise((resolve) => {
    timer = setTimeout(resolve, waitMs);
  });
  await Promise.race([polite.catch(() => undefined), waited]);
  clearTimeout(timer);
}

const REASONS: Readonly<Record<string, string>> = {
  ECONNREFUSED: 'nothing listens there',
  ENOTFOUND: 'there is no host of that name',
  EAI_AGAIN: 'the name of the host cannot be looked up',
  ETIMEDOUT: 'nothing answers there',
  EHOSTUNREACH: 'there is no way to that host',
  ENETUNREACH: 'there is no way to that host',
  ECONNRESET: 'it hangs up',
};

/** Several addresses of one name fail as one error without words, but with a code. */
export function reasonOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  const code = 'code' in error && typeof error.code === 'string' ? error.code : '';
  if (REASONS[code] !== undefined) return REASONS[code];
  const message = error.message === '' ? error.name : error.message;
  if (message.startsWith('NOAUTH')) return 'it wants a password, and none was given';
  if (/^WRONGPASS|invalid password/u.test(message)) return 'it does not take this password';
  if (/timed out|Connection is closed/u.test(message)) return 'nothing answers there as Redis does';
  return message;
}
