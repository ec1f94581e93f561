/** `record` on the command line beside a bench that writes, and a start with a limit that is none. */
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import type { CloudEvent } from '../../src/events/index.ts';
import { packageRoot } from '../../src/files/index.ts';
import { type Ended, freshFolder, runToEnd, startBench } from '../helpers/bench-process.ts';
import { readCsv } from '../helpers/csv.ts';
import { Stream } from '../helpers/outside-view.ts';

const RIG = join(packageRoot(), 'tests/live/quick.rig.yaml');

const record = (...args: string[]): Promise<Ended> => runToEnd(['record', ...args]);
const linesOf = ({ stdout }: Ended): CloudEvent[] =>
  stdout
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as CloudEvent);

test('a running bench is read as it was streamed, and goes on', async () => {
  const above = freshFolder();
  const data = join(above, 'sim');
  const bench = await startBench([
    'serve',
    RIG,
    '--speed',
    '20',
    '--data',
    data,
    '--bus',
    'tcp://127.0.0.1:0',
  ]);
  onTestFinished(() => void bench.child.kill('SIGKILL'));
  const stream = new Stream(bench.page);
  await stream.next('mitigation.changed', { to: 'running' });
  const told = [...stream.events];
  const [exported, verified, listed, table] = await Promise.all([
    record('export', '--data', data),
    record('verify', '--data', data, '--json'),
    record('list', '--data', above, '--json'),
    record('export', '--data', data, '--format', 'csv', '--type', 'mitigation', '--type', 'bench.started'),
  ]);
  expect(linesOf(exported).slice(0, told.length)).toEqual(told);
  expect(JSON.parse(verified.stdout)).toMatchObject({ sound: true, unsound: [], first: 1 });
  const { records } = JSON.parse(listed.stdout) as { records: unknown[] };
  expect(records).toEqual([
    expect.objectContaining({
      folder: data,
      rigs: [expect.stringContaining('Tide Street')],
      files: ['record.db'],
    }),
  ]);
  const [head, ...rows] = readCsv(table.stdout);
  expect(head).toEqual(['sequence', 'time', 'at_ms', 'severity', 'type', 'source', 'text', 'fields']);
  const wanted = told.filter(({ type }) => /mitigation|bench\.started/u.test(type));
  expect(rows.slice(0, wanted.length).map(([, , , , type, , text]) => [type, text])).toEqual(
    wanted.map(({ type, data: { text } }) => [type, text]),
  );
  expect([exported, verified, listed, table].map(({ code, stderr }) => [code, stderr])).toEqual(
    Array.from({ length: 4 }, () => [0, '']),
  );
  stream.close();
  expect(await bench.stop()).toBe(130);
});

test('a limit that is none is refused, with what it takes', async () => {
  const args = ['serve', '--port', '0', '--data', freshFolder(), '--record-limit'];
  expect(await runToEnd([...args, '1 MiB'])).toMatchObject({
    code: 2,
    stderr: expect.stringContaining('64 MiB or more') as string,
  });
});
