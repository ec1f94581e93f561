/**
 * What a person gets for bad input: one clear message, the exit code that scripts rely on, no stack trace.
 */

import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { freshFolder, runToEnd } from '../helpers/bench-process.ts';
import { DEMO_FILE } from '../helpers/demo.ts';

const MINIMAL = `rig: 1
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m }
sensors:
  - { id: one, at: cabinet, unitId: 11 }
`;

function rigFile(text: string): string {
  const file = join(freshFolder(), 'my.rig.yaml');
  writeFileSync(file, text);
  return file;
}

async function expectEnd(args: readonly string[], code: number, says: RegExp): Promise<void> {
  const ended = await runToEnd([...args]);
  expect(ended.stderr).toMatch(says);
  expect(ended.stderr).not.toMatch(/^\s+at /mu);
  expect(ended.code).toBe(code);
}

const quiet = (): string[] => ['--port', '0', '--data', freshFolder(), '--bus', 'tcp://127.0.0.1:0'];

test('an unreadable rig', async () => {
  await expectEnd(['serve', 'no-such.rig.yaml', ...quiet()], 2, /no-such\.rig\.yaml:1:1: .*does not exist/u);
  await expectEnd(['serve', rigFile('rig: [1'), ...quiet()], 2, /my\.rig\.yaml:1:\d+: /u);
});

test('two sensors at one address name both, with line and column', async () => {
  const file = rigFile(`${MINIMAL}  - { id: two, at: cabinet, unitId: 11 }\n`);
  await expectEnd(['serve', file, ...quiet()], 2, /my\.rig\.yaml:7:\d+: .*two.*one/u);
});

test('a bare number where a unit matters lists the units it takes', async () => {
  const file = rigFile(MINIMAL.replace('4.2 kg', '4.2'));
  await expectEnd(['serve', file, ...quiet()], 2, /my\.rig\.yaml:3:9: charge: .*kg, g, lb, oz/u);
});

test('a word that is neither verb nor file', async () => {
  await expectEnd(['serv'], 2, /did you mean "serve"\?/u);
  await expectEnd(['serve', '--speed', '40'], 2, /1 to 20/u);
});

test('a port in use, of the page and of a line', async () => {
  const taken = createServer();
  taken.listen(0, '127.0.0.1');
  await once(taken, 'listening');
  const { port } = taken.address() as { port: number };
  const data = freshFolder();
  const page = ['serve', '--port', String(port), '--data', data, '--bus', 'tcp://127.0.0.1:0'];
  await expectEnd(page, 3, new RegExp(`[Pp]ort ${port} .*in use`, 'u'));
  await expectEnd(
    ['serve', '--port', '0', '--data', data, '--bus', `tcp://127.0.0.1:${port}`],
    3,
    /in use.*--bus/u,
  );
  taken.close();
});

test('a bus that is not there', async () => {
  const args = ['supervise', '--bus', 'tcp://127.0.0.1:1', '--port', '0', '--data', freshFolder()];
  await expectEnd(args, 3, /tcp:\/\/127\.0\.0\.1:1 cannot be reached: nobody listens there/u);
});

test('a supervisor at another speed says beforehand what becomes of the hold, and for whom that is', async () => {
  const args = ['supervise', '--bus', 'tcp://127.0.0.1:1', '--port', '0', '--data', freshFolder()];
  const faster = await runToEnd([...args, '--speed', '20']);
  const [warning = '', logged = ''] = faster.stderr.split('\n');
  expect(warning).toMatch(/^warning: --speed 20 .*hold of 5 min lasts 15 s of real time.*leakbench sim/u);
  expect(JSON.parse(logged)).toMatchObject({ level: 40, msg: warning.replace('warning: ', '') });
  expect((await runToEnd(args)).stderr).not.toMatch(/warning/u);
});

test('a page that others could reach wants a token', async () => {
  await expectEnd(['serve', '--host', '0.0.0.0', ...quiet()], 2, /--token/u);
});

test('a data folder that cannot be written', async () => {
  const data = join(rigFile(MINIMAL), 'record');
  await expectEnd(
    ['serve', '--port', '0', '--data', data, '--bus', 'tcp://127.0.0.1:0'],
    3,
    /my\.rig\.yaml\/record/u,
  );
});

test('check says what is good, and every problem of what is not', async () => {
  const good = await runToEnd(['check', DEMO_FILE]);
  expect(good).toMatchObject({ code: 0, stderr: '' });
  expect(good.stdout).toMatch(/good/u);
  const bad = rigFile(MINIMAL.replace('R-32', 'R-33').replace('24 m2', '24'));
  await expectEnd(['check', bad], 2, /my\.rig\.yaml:4:\d+: room\.floor/u);
  const json = await runToEnd(['check', '--json', bad]);
  expect(JSON.parse(json.stdout)).toMatchObject({ ok: false, problems: [{ line: 4 }] });
});

test('every verb has help with an example', async () => {
  for (const verb of ['serve', 'sim', 'supervise', 'check']) {
    const help = await runToEnd([verb, '--help']);
    expect(help.code).toBe(0);
    expect(help.stdout).toMatch(/Example:\n {2}leakbench /u);
  }
});
