/** Commands whose output cannot be written, as on a full disk: what was begun goes on to its own end. */
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { openReader } from '../../src/record/index.ts';
import { type Ended, freshFolder, runToEnd } from '../helpers/bench-process.ts';
import { IDLE } from '../helpers/idle.ts';

const SHORT = join(packageRoot(), 'sim/drill/library/test-gas-coil-a.drill.yaml');
/** Every write to it fails with ENOSPC (Linux, full(4)). */
const full = (args: readonly string[], redirect: string): Promise<Ended> =>
  runToEnd(args, [], ['sh', '-c', `exec "$@" ${redirect}`, 'sh']);
const SAID = /^standard output cannot be written \(.*ENOSPC.*\)\n$/u;

test('a drill that holds ends with the code of its surroundings, and one line says why', async () => {
  const ended = await full(['drill', SHORT], '>/dev/full');
  expect(ended).toMatchObject({ code: 3, stdout: '' });
  expect(ended.stderr).toMatch(SAID);
});

test('a broken one is broken all the same', async () => {
  const ended = await full(['drill', SHORT, '--controller', IDLE], '>/dev/full');
  expect(ended.code).toBe(1);
  expect(ended.stderr).toMatch(SAID);
});

test.each(['', 'LEAKBENCH_LOG=debug '])(
  'a bench goes on without its words, and ends in order: %s',
  async (log) => {
    const data = freshFolder();
    const args = ['serve', '--bus', 'tcp://127.0.0.1:0', '--port', '0', '--data', data, '--for', '1 s'];
    const ended = await runToEnd(args, [], ['sh', '-c', `${log}exec "$@" >/dev/full 2>/dev/full`, 'sh']);
    expect(ended).toEqual({ code: 3, stdout: '', stderr: '' });
    const reader = openReader(data);
    expect([...reader.events(0)].at(-1)?.type).toBe('leakbench.bench.stopped');
    reader.close();
  },
);
