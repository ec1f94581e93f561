/** `roster` and `roster replace` within this process, against a bench on a real socket and real files. */
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test, vi } from 'vitest';
import { roster } from '../../../../src/app/commands/roster.ts';
import {
  type ReplaceOptions,
  replace as replaceCommand,
} from '../../../../src/app/commands/roster-replace.ts';
import { dayOf } from '../../../../src/app/roster/days.ts';
import { Stop } from '../../../../src/app/stop.ts';
import { openRecord } from '../../../../src/record/index.ts';
import { type Ended, freshFolder } from '../../../helpers/bench-process.ts';
import { liveBench } from '../../../helpers/live-bench.ts';
import { meddle } from '../../record/meddle.ts';
import { RIGHT, rigOf } from '../../survey/rigs.ts';

const NEW = '260301';
/** Line ends of Windows, and none at the end. */
const PLAN = `${RIGHT.replaceAll('\n', '\r\n')}# the end`;

function plan(): { readonly folder: string; readonly file: string; readonly data: string } {
  const folder = freshFolder();
  const file = join(folder, 'plan.rig.yaml');
  writeFileSync(file, PLAN);
  return { folder, file, data: join(folder, 'data') };
}

/** As main does it. */
async function ended(act: () => Promise<void>): Promise<Ended> {
  let stdout = '';
  const spy = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    stdout += String(text);
    return true;
  });
  const before = process.exitCode;
  process.exitCode = 0;
  try {
    await act();
    return { code: process.exitCode, stdout, stderr: '' };
  } catch (error) {
    if (!(error instanceof Stop)) throw error;
    return { code: error.exitCode, stdout, stderr: error.message };
  } finally {
    process.exitCode = before;
    spy.mockRestore();
  }
}

const listed = (file: string, data: string): Promise<Ended> =>
  ended(() => roster(file, { data, json: true }));
const rosterOf = async (file: string, data: string) =>
  (JSON.parse((await listed(file, data)).stdout) as { readonly sensors: readonly Record<string, unknown>[] })
    .sensors;
const replace = (file: string, data: string, sensor: string, more: Partial<ReplaceOptions>): Promise<Ended> =>
  ended(() => replaceCommand(file, sensor, { data, serial: NEW, bus: [], timeout: '150 ms', ...more }));

describe('replace', () => {
  test('another serial, a part at its factory address, nobody, or no bus: nothing is written', async (context) => {
    const { file, data } = plan();
    const text = RIGHT.replace('unitId: 12', 'unitId: 1')
      .replace('240812', NEW)
      .replace(/ {2}- \{ id: low.*\n/u, '');
    const { bus } = await liveBench({ rig: rigOf(text), atEnd: context.onTestFinished });
    const asked = (sensor: string, ...on: string[]) => replace(file, data, sensor, { write: true, bus: on });
    const other = await asked('coil-a', bus);
    expect(other).toMatchObject({ code: 1, stdout: expect.stringContaining('has serial 240811') as string });
    const factory = await asked('coil-b', bus);
    expect(factory).toMatchObject({ code: 1, stdout: expect.stringContaining('factory address') as string });
    const nobody = await asked('low', bus);
    expect(nobody).toMatchObject({ code: 1, stdout: expect.stringContaining('nobody') as string });
    const down = await asked('coil-a', 'tcp://127.0.0.1:9');
    expect(down).toMatchObject({ code: 3, stderr: expect.stringContaining('nothing was written') as string });
    expect(await asked('coil-a')).toMatchObject({
      code: 2,
      stderr: expect.stringContaining('--bus main=') as string,
    });
    expect(readFileSync(file, 'utf8')).toBe(PLAN);
    expect(existsSync(data)).toBe(false);
  });

  test('a contact, and a sensor that tells no serial, take the word that the label was read', async (context) => {
    const { file, data } = plan();
    const { bus } = await liveBench({ rig: rigOf(RIGHT), atEnd: context.onTestFinished });
    const label = { byLabel: true } as const;
    const write = { write: true } as const;
    for (const [sensor, asked] of [
      ['grille', { serial: 'X-grille' }],
      ['high', { serial: 'X-high', bus: [bus] }],
    ] as const) {
      const dry = await replace(file, data, sensor, asked);
      expect(dry).toMatchObject({ code: 0, stdout: expect.stringContaining('--by-label') as string });
      const refused = await replace(file, data, sensor, { ...asked, ...write });
      expect(refused).toMatchObject({ code: 2, stderr: expect.stringContaining('--by-label') as string });
      const done = await replace(file, data, sensor, { ...asked, ...write, ...label });
      expect(done).toMatchObject({ code: 0, stdout: expect.stringContaining('nothing else') as string });
    }
    const today = dayOf(new Date());
    expect(readFileSync(file, 'utf8')).toBe(
      PLAN.replace('input: 8 }', `input: 8, serial: "X-grille", installed: ${today} }`).replace(
        'unitId: 60,',
        `unitId: 60, serial: "X-high", installed: ${today},`,
      ),
    );
    const sensors = await rosterOf(file, data);
    expect(sensors.map(({ sensor, replaced }) => [sensor, typeof replaced])).toEqual([
      ['coil-a', 'string'],
      ['coil-b', 'string'],
      ['low', 'string'],
      ['high', 'object'],
      ['grille', 'object'],
    ]);
    // Of another rig nothing of that is told.
    writeFileSync(file, PLAN.replace('rig: 1', 'name: Another\r\nrig: 1'));
    expect((await rosterOf(file, data)).map(({ replaced }) => replaced)).toEqual(
      sensors.map(() => 'no record'),
    );
  });

  test('what cannot be recorded is not done: another one writes the record, or its folder takes none', async () => {
    const { folder, file, data } = plan();
    const other = openRecord({ folder: join(data, 'service'), rigName: 'plan' });
    const asked = { byLabel: true, write: true } as const;
    const busy = await replace(file, data, 'grille', asked);
    other.close();
    expect(busy).toMatchObject({
      code: 3,
      stderr: expect.stringContaining('being written by another process') as string,
    });
    const none = await replace(file, join(file, 'no-folder'), 'grille', asked);
    expect(none).toMatchObject({ code: 3, stderr: expect.stringContaining('cannot be written') as string });
    expect(readFileSync(file, 'utf8')).toBe(PLAN);
    expect(readdirSync(folder).sort()).toEqual(['data', 'plan.rig.yaml']);
  });

  test('nor is what the record does not take once it is open', async () => {
    const { folder, file, data } = plan();
    const service = join(data, 'service');
    openRecord({ folder: service, rigName: 'plan' }).close();
    meddle(service, "CREATE TRIGGER full BEFORE INSERT ON events BEGIN SELECT RAISE(ABORT, 'no room'); END");
    const refused = await replace(file, data, 'grille', { byLabel: true, write: true });
    expect(refused).toMatchObject({ code: 3, stderr: expect.stringContaining('no room') as string });
    expect(readFileSync(file, 'utf8')).toBe(PLAN);
    expect(readdirSync(folder).sort()).toEqual(['data', 'plan.rig.yaml']);
  });

  test('a serial that is too long for its registers is refused with its place in the file', async () => {
    const { file, data } = plan();
    const { code, stderr } = await replace(file, data, 'coil-a', { serial: '260301260301' });
    expect(code).toBe(2);
    expect(stderr).toMatch(/plan\.rig\.yaml:6:\d+: sensors\[0\]\.serial: takes at most 8 characters/u);
  });

  test('a sensor that is written as an alias is left to a hand', async () => {
    const { file, data } = plan();
    const text = `${PLAN.replace('- { id: coil-a', '- &a { id: coil-a')}\r\n`;
    writeFileSync(
      file,
      text.replace('serial: "240811"', 'serial: &s "240811"').replace('serial: "240812"', 'part: *s'),
    );
    const { code, stderr } = await replace(file, data, 'coil-a', {});
    expect([code, stderr]).toEqual([2, expect.stringContaining('write both in by hand')]);
  });
});

test('a record that is damaged is named in the list, which ends with code 3', async () => {
  const { file, data } = plan();
  mkdirSync(data);
  writeFileSync(join(data, 'record.db'), 'no record at all, only some text');
  const { code, stdout } = await listed(file, data);
  expect(code).toBe(3);
  expect(JSON.parse(stdout)).toMatchObject({ record: { problems: [expect.stringContaining('record.db')] } });
});
