/**
 * `leakbench roster` and `roster replace` as commands, beside a bench that runs: the new part is proved on the
 * wire, rig file and record are written, and the roster counts from there.
 */
import { chmodSync, existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { type Ended, freshFolder, runToEnd, startBench } from '../helpers/bench-process.ts';
import { readCsv } from '../helpers/csv.ts';
import { Stream } from '../helpers/outside-view.ts';
import { RIGHT } from '../src/survey/rigs.ts';

const NEW = '260301';
/** Comments, gaps, both kinds of quotes, line ends of Windows, and none at the end. */
const PLAN = `# The plan of the room: 240811\r\n${RIGHT.replaceAll('\n', '\r\n').replace(
  '- { id: coil-a, at: cabinet, unitId: 11, serial: "240811" }',
  "- { id: coil-a,   at: cabinet, unitId: 11, serial: '240811', installed: 2025-03-01 } # 240811 by the door",
)}# the end`;
/** A file says what it takes to anybody but root. */
const AS_NOBODY = process.getuid?.() === 0 ? ['setpriv', '--reuid=65534', '--clear-groups', '--'] : [];

interface Listed {
  readonly sensors: readonly Readonly<Record<string, unknown>>[];
}

test('a part is replaced beside a running bench, and the roster tells it and what the bench recorded', async (context) => {
  const folder = freshFolder();
  const [plan, real] = [join(folder, 'plan.rig.yaml'), join(folder, 'real.rig.yaml')];
  const [data, own] = [join(folder, 'data'), join(folder, 'own')];
  writeFileSync(plan, PLAN);
  chmodSync(plan, 0o640);
  // The bench has the new part, and holds its own record in the same folder.
  writeFileSync(real, RIGHT.replace('rig: 1', 'rig: 1\nname: plan').replace('240811', NEW));
  const bench = await startBench([
    'serve',
    real,
    '--bus',
    'tcp://127.0.0.1:0',
    '--data',
    data,
    '--speed',
    '20',
  ]);
  const stream = new Stream(bench.page);
  context.onTestFinished(async () => {
    stream.close();
    await bench.stop();
  });
  const bus = `tcp://127.0.0.1:${bench.lines['main'] ?? 0}`;
  const asked = [
    '--serial',
    NEW,
    '--installed',
    '2026-01-02',
    '--bus',
    bus,
    '--by',
    'Ada',
    '--made',
    '2025-12-01',
  ];
  const replace = (to: string, more: readonly string[], under: readonly string[] = []): Promise<Ended> =>
    runToEnd(['roster', 'replace', plan, 'coil-a', ...asked, '--data', to, ...more], [], under);

  const dry = await replace(data, ['--json']);
  expect(dry).toMatchObject({ code: 0, stderr: expect.stringContaining('add --write to do it') as string });
  expect(JSON.parse(dry.stdout)).toMatchObject({ result: 'wouldWrite', oldSerial: '240811', serial: NEW });
  expect(readFileSync(plan, 'utf8')).toBe(PLAN);
  expect(existsSync(join(data, 'service'))).toBe(false);

  chmodSync(folder, 0o777);
  chmodSync(plan, 0o444);
  const locked = await replace(own, ['--write'], AS_NOBODY);
  expect(locked).toMatchObject({ code: 3, stderr: expect.stringContaining('cannot be written') as string });
  chmodSync(plan, 0o640);
  expect(readFileSync(plan, 'utf8')).toBe(PLAN);
  const nothing = await runToEnd(['record', 'export', '--data', join(own, 'service')]);
  expect(nothing).toMatchObject({ code: 0, stdout: '' });

  expect(await replace(data, ['--write'])).toMatchObject({
    code: 0,
    stdout: expect.stringContaining('until then the new serial is a stranger to it') as string,
    stderr: '',
  });
  const wanted = PLAN.replace("'240811'", `'${NEW}'`).replace(
    'installed: 2025-03-01',
    'installed: 2026-01-02',
  );
  expect(readFileSync(plan).equals(Buffer.from(wanted))).toBe(true);
  expect(statSync(plan).mode & 0o777).toBe(0o640);
  expect(readdirSync(folder).sort()).toEqual(['data', 'own', 'plan.rig.yaml', 'real.rig.yaml']);
  const exported = await runToEnd([
    'record',
    'export',
    '--data',
    join(data, 'service'),
    '--type',
    'sensor.replaced',
  ]);
  expect(JSON.parse(exported.stdout)).toMatchObject({
    data: {
      text: expect.stringContaining(`coil-a was replaced: serial ${NEW} in place of 240811`) as string,
      fields: { sensor: 'coil-a', installed: '2026-01-02', made: '2025-12-01', by: 'Ada', knownBy: 'survey' },
    },
  });

  await stream.next('mitigation.changed', { to: 'running' });
  const step = JSON.stringify({ testGas: { at: 'coil-b', level: '40 %LFL', lasts: '1 min' } });
  const headers = { 'content-type': 'application/json' };
  await fetch(`${bench.page}/api/v1/steps`, { method: 'POST', headers, body: step });
  await stream.next('hazard.raised', { hazard: 'gas', subject: 'coil-b' });
  const [csv, html] = [join(folder, 'list.csv'), join(folder, 'list.html')];
  const told = await runToEnd(['roster', plan, '--data', data, '--json', '--csv', csv, '--html', html]);
  expect(told).toMatchObject({ code: 0, stderr: '' });
  const passed = { result: 'passed', atMs: expect.any(Number) as number };
  expect((JSON.parse(told.stdout) as Listed).sensors).toMatchObject([
    { sensor: 'coil-a', serial: NEW, installed: '2026-01-02', replaced: { by: 'Ada' }, differences: [] },
    { sensor: 'coil-b', selfTest: passed, alarm: { text: expect.stringContaining('gas') as string } },
    { sensor: 'low', selfTest: passed, alarm: 'no record', replaced: 'no record' },
    { sensor: 'high', selfTest: passed },
    { sensor: 'grille', selfTest: 'a contact has none', alarm: 'no record' },
  ]);
  expect(readCsv(readFileSync(csv, 'utf8'))).toHaveLength(6);
  expect(readFileSync(html, 'utf8')).toContain('Maintenance checklist');
});
