/** A search over several workers through a real Redis: the same result as alone, whoever is lost on the way. */
import { once } from 'node:events';
import { cpSync, existsSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import { basename, join } from 'node:path';
import { QueueEvents } from 'bullmq';
import { afterEach, expect, type TestContext, test } from 'vitest';
import { packageVersion } from '../../src/app/package-version.ts';
import { queueName } from '../../src/app/seek/queue.ts';
import { queueAddress } from '../../src/app/seek/queue-address.ts';
import { connectionTo } from '../../src/app/seek/queue-connection.ts';
import { controllerMark } from '../../src/app/seek/roll-call.ts';
import { packageRoot } from '../../src/files/index.ts';
import { freshFolder, runToEnd } from '../helpers/bench-process.ts';
import { freePort, type RedisServer, startRedis } from '../helpers/redis.ts';
import { type SeekProcess, startSeek } from '../helpers/seek-process.ts';
import { requireTool } from '../interop/outside-tools.ts';

const RIG = join(packageRoot(), 'tests/live/quick.rig.yaml');
/** Gives up at once: every drill finds it, and costs next to nothing. */
const GIVES_UP = 'exec:false';
const SECRET = 'pass%word';

interface Document {
  readonly drills: number;
  readonly interrupted: boolean;
  readonly findings: readonly { readonly rule: string; readonly file: string }[];
  readonly coverage: unknown;
}

const started: (SeekProcess | RedisServer)[] = [];
const listening: QueueEvents[] = [];

afterEach(async () => {
  for (const one of listening.splice(0)) await one.close();
  for (const one of started.splice(0)) one.child.kill('SIGKILL');
});

async function redis(context: TestContext, ...options: readonly string[]): Promise<RedisServer> {
  await requireTool(context, 'redis');
  const server = await startRedis(...options);
  started.push(server);
  return server;
}

function seek(...args: readonly string[]): SeekProcess {
  const process = startSeek(args);
  started.push(process);
  return process;
}

function worker(url: string, ...args: readonly string[]): SeekProcess {
  return seek('--worker', '--queue', url, '--workers', '1', ...args);
}

/** The names of the orders of which it was said. */
function eventsAt(url: string, command: string | null, event: 'completed' | 'stalled') {
  const name = queueName({ version: packageVersion(), controller: controllerMark(command) });
  const events = new QueueEvents(name, { connection: { url, maxRetriesPerRequest: null } });
  events.on('error', () => undefined);
  listening.push(events);
  const seen: string[] = [];
  const waiting: (() => void)[] = [];
  events.on(event, ({ jobId }: { readonly jobId: string }) => {
    seen.push(jobId);
    for (const look of waiting) look();
  });
  const atLeast = (count: number): Promise<void> =>
    new Promise((resolve) => {
      const look = (): void => {
        if (seen.length >= count) resolve();
      };
      waiting.push(look);
      look();
    });
  return { seen, atLeast, ready: events.waitUntilReady() };
}

/** What must be the same: all but the time it took and the folder of the drills. */
function sameOf(text: string): unknown {
  const { findings, ...rest } = JSON.parse(text) as Document;
  const named = findings.map((one) => ({ ...one, file: basename(one.file) }));
  return { ...rest, drillsPerSecond: 0, findings: named };
}

test('three workers, one of them killed while it holds a batch, find what one process finds', async (context) => {
  const { url } = await redis(context);
  const stalled = eventsAt(url, null, 'stalled');
  await stalled.ready;
  const [victim, ...others] = [worker(url), worker(url), worker(url)];
  await Promise.all([victim, ...others].map((one) => one.says(/A worker at/u)));
  const options = ['--runs', '12', '--seed', '5', '--json'];
  const search = seek(RIG, ...options, '--queue', url, '--out', freshFolder());
  await victim.says(/Works for search/u);
  victim.child.kill('SIGKILL');
  const { code, stdout } = await search.ended;
  expect(code).toBe(0);
  expect(stalled.seen.length).toBeGreaterThan(0);

  const alone = await runToEnd(['seek', RIG, ...options, '--workers', '1', '--out', freshFolder()]);
  expect(sameOf(stdout)).toEqual(sameOf(alone.stdout));
  for (const { child } of others) child.kill('SIGINT');
  for (const { ended } of others) {
    const { code: own, stderr } = await ended;
    expect(own).toBe(130);
    expect(stderr).toMatch(/^Ended: \d+ orders done for 1 search\.$/mu);
  }
});

test('what is found far away is shrunk far away, and written here', async (context) => {
  const { url } = await redis(context);
  const there = worker(url, '--controller', GIVES_UP);
  const out = freshFolder();
  const options = [RIG, '--controller', GIVES_UP, '--runs', '8', '--json'];
  const search = await seek(...options, '--queue', url, '--out', out).ended;
  expect(search.code).toBe(1);
  const alone = await runToEnd(['seek', ...options, '--workers', '1', '--out', freshFolder()]);
  expect(sameOf(search.stdout)).toEqual(sameOf(alone.stdout));
  expect(existsSync(join(out, 'breaks-run-seed-1.drill.yaml'))).toBe(true);
  // Four batches and one shrinking.
  there.child.kill('SIGTERM');
  expect((await there.ended).stderr).toMatch(/^Ended: 5 orders done/mu);
});

test('a search without a worker says how to start one, and takes none with another controller', async (context) => {
  const { url } = await redis(context);
  const search = seek(RIG, '--controller', GIVES_UP, '--queue', url, '--out', freshFolder());
  await search.says(/No worker is at the queue; this waits\./u);
  const other = worker(url);
  await search.says(/another controller.*\n.*--worker --queue redis:\S+ --controller 'exec:false'/u);
  await other.says(/asks for another controller/u);
  search.child.kill('SIGINT');
  expect((await search.ended).code).toBe(130);
  other.child.kill('SIGINT');
  expect((await other.ended).stderr).toMatch(/^Ended: 0 orders/mu);
});

test('a search whose time is over ends without a worker too; a password that nobody wants is no matter', async (context) => {
  const { port } = await redis(context);
  const url = `redis://:${encodeURIComponent(SECRET)}@127.0.0.1:${port}`;
  const { code, stdout, stderr } = await seek(
    RIG,
    '--for',
    '1s',
    '--json',
    '--queue',
    url,
    '--out',
    freshFolder(),
  ).ended;
  expect(code).toBe(0);
  expect(JSON.parse(stdout)).toMatchObject({ drills: 0, interrupted: false });
  expect(stderr).not.toMatch(/WARN|pass%/u);
});

test('workers of another version alone: both sides say so, and the search ends with 3', async (context) => {
  const { url } = await redis(context);
  const old = startSeek(['--worker', '--queue', url, '--workers', '1'], packageOf('0.0.9'));
  started.push(old);
  await old.says(/A worker at/u);
  const search = await seek(RIG, '--queue', url, '--out', freshFolder()).ended;
  expect(search.code).toBe(3);
  expect(search.stderr).toMatch(/workers at the queue are of version 0\.0\.9, this search is of \d/u);
  await old.says(/is of version \S+, and this of 0\.0\.9: give both the same version/u);
});

/** A copy of this package that says it is of another version. */
function packageOf(version: string): string {
  const folder = freshFolder();
  const own = JSON.parse(readFileSync(join(packageRoot(), 'package.json'), 'utf8')) as object;
  writeFileSync(join(folder, 'package.json'), JSON.stringify({ ...own, version }));
  cpSync(join(packageRoot(), 'dist'), join(folder, 'dist'), { recursive: true });
  symlinkSync(join(packageRoot(), 'node_modules'), join(folder, 'node_modules'));
  return folder;
}

test('a queue that goes away in the middle: both end with 3, and what was found is written', async (context) => {
  const server = await redis(context);
  const slow = 'sleep 0.2; false';
  const completed = eventsAt(server.url, slow, 'completed');
  await completed.ready;
  const there = worker(server.url, '--controller', `exec:${slow}`);
  const out = freshFolder();
  const search = seek(RIG, '--controller', `exec:${slow}`, '--json', '--queue', server.url, '--out', out);
  await completed.atLeast(2);
  await server.stop();
  const { code, stdout, stderr } = await search.ended;
  expect(code).toBe(3);
  expect(stderr).toMatch(/the queue at redis:\S+ is gone/u);
  expect(stderr).not.toMatch(/^\s+at |ioredis|ECONN/mu);
  const { interrupted, findings, drills } = JSON.parse(stdout) as Document;
  expect(interrupted).toBe(true);
  expect(drills).toBeGreaterThanOrEqual(2);
  expect(findings.map(({ rule, file }) => [rule, existsSync(file)])).toEqual([['run', true]]);
  const ended = await there.ended;
  expect(ended.code).toBe(3);
  expect(ended.stderr).toMatch(/the queue at redis:\S+ is gone/u);
  expect(ended.stderr).not.toMatch(/^\s+at |ioredis|ECONN/mu);
});

test('a queue with a password: the wrong one is told, none is shown', async (context) => {
  const { port } = await redis(context, '--requirepass', SECRET);
  const at = (secret: string) => `redis://:${encodeURIComponent(secret)}@127.0.0.1:${port}`;
  const refusal = async (url: string): Promise<unknown> =>
    connectionTo(queueAddress(url)).catch((error: unknown) => error);
  const wrong = await refusal(at(`not ${SECRET}`));
  expect(wrong).toMatchObject({ exitCode: 3 });
  expect(String(wrong)).toMatch(/^(?!.*pass%).*does not take this password/u);
  const none = await refusal(`redis://127.0.0.1:${port}`);
  expect(none).toMatchObject({ exitCode: 3 });
  expect(String(none)).toMatch(/it wants a password/u);
  const right = worker(at(SECRET));
  await right.says(/A worker at redis:\/\/:…@127/u);
  right.child.kill('SIGINT');
  expect((await right.ended).stderr).not.toMatch(/pass%/u);
});

test.each([
  ['a search', []],
  ['a worker', ['--worker']],
])('no queue there, for %s: 3', async (_, role) => {
  const ended = await seek(...role, '--queue', `redis://127.0.0.1:${await freePort()}`).ended;
  expect(ended.code).toBe(3);
  expect(ended.stderr).toMatch(/^there is no queue at redis:\S+: nothing listens there\. Start Redis/u);
  expect(ended.stderr).not.toMatch(/^\s+at |ioredis/mu);
});

test('something there that is no Redis: 3', async () => {
  const server = createServer((socket) => {
    socket.on('error', () => undefined);
    socket.end('HTTP/1.1 400 Bad Request\r\n\r\n');
  }).listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  const tried = connectionTo(queueAddress(`redis://127.0.0.1:${port}`));
  await expect(tried).rejects.toThrow(/^there is no queue at/u);
  server.close();
});

test.each([
  [['--worker', '--queue', 'redis://:%zz-hush@host'], /--queue takes the address of a Redis/u],
  [['--worker', RIG, '--runs', '3', '--queue', 'redis://host'], /leave \S+\.rig\.yaml, --runs out/u],
  [['--workers', '2', '--queue', 'redis://host'], /give it with --worker/u],
])('bad usage %j: 2', async (args, says) => {
  const ended = await seek(...args).ended;
  expect(ended.code).toBe(2);
  expect(ended.stderr).toMatch(says);
  expect(ended.stderr).not.toMatch(/hush/u);
});
