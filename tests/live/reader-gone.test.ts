/** Commands whose output nobody reads any more, as behind `| head`: what they do, and say by their exit code. */
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { openReader, openRecord } from '../../src/record/index.ts';
import { type Ended, freshFolder, runToEnd, startBench } from '../helpers/bench-process.ts';
import { DEMO_FILE } from '../helpers/demo.ts';
import { IDLE } from '../helpers/idle.ts';

const SHORT = join(packageRoot(), 'sim/drill/library/test-gas-coil-a.drill.yaml');
const BENCH = ['serve', '--json', '--bus', 'tcp://127.0.0.1:0'];
/** By the time the command begins, the reader has opened the pipe and closed it again. */
function unread(args: readonly string[], redirect = '>&9'): Promise<Ended> {
  const pipe = join(freshFolder(), 'pipe');
  execFileSync('mkfifo', [pipe]);
  const script = `: <"$0" & exec 9>"$0"; wait; exec ${redirect} 9>&-; exec "$@"`;
  return runToEnd(args, [], ['sh', '-c', script, pipe]);
}

function lastOf(data: string): string | undefined {
  const reader = openReader(data);
  const last = [...reader.events(0)].at(-1)?.type;
  reader.close();
  return last;
}

test.each([[[]], [['--json']]])('a broken drill says so by its exit code all the same %j', async (more) => {
  const ended = await unread(['drill', SHORT, '--controller', IDLE, ...more]);
  expect(ended).toEqual({ code: 1, stdout: '', stderr: '' });
  expect(await unread(['drill', SHORT, ...more])).toMatchObject({ code: 0, stderr: '' });
});

test('so does a search that found something', async () => {
  const few = ['--runs', '2', '--workers', '1', '--out', freshFolder()];
  const ended = await unread(['seek', DEMO_FILE, '--controller', IDLE, ...few]);
  expect(ended.code).toBe(1);
});

test('a bench whose time is over ends in order', async () => {
  const data = freshFolder();
  const ended = await unread([...BENCH, '--port', '0', '--data', data, '--for', '1 s']);
  expect(ended.code).toBe(0);
  expect(lastOf(data)).toBe('leakbench.bench.stopped');
});

test('and one that is interrupted after its reader', async () => {
  const data = freshFolder();
  const bench = await startBench([...BENCH, '--data', data]);
  bench.child.stdout?.destroy();
  expect(await bench.stop()).toBe(130);
  expect(lastOf(data)).toBe('leakbench.bench.stopped');
});

test('an export ends quietly', async () => {
  const data = freshFolder();
  const record = openRecord({ folder: data, rigName: 'mine' });
  for (let round = 0; round < 20; round += 1) {
    record.append(
      Array.from({ length: 500 }, () => ({ id: 'bench.reset', atMs: 0, fields: { reason: 'try' } }) as const),
    );
  }
  record.close();
  for (const format of ['jsonl', 'csv']) {
    const ended = await unread(['record', 'export', '--data', data, '--format', format]);
    expect(ended).toEqual({ code: 0, stdout: '', stderr: '' });
  }
});

test('what is wrong shows in the exit code even where its sentence has no reader', async () => {
  expect(await unread(['drill', 'gas-linger'], '>&9 2>&9')).toEqual({ code: 2, stdout: '', stderr: '' });
});
