/** `figures` on the command line: what it takes together, what it refuses, where its output goes. */
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, describe, expect, test, vi } from 'vitest';
import { type FiguresOptions, figures } from '../../../../src/app/commands/figures.ts';
import { EXIT, Stop } from '../../../../src/app/stop.ts';
import { DEMO_FILE } from '../../../helpers/demo.ts';

const folder = mkdtempSync(join(tmpdir(), 'leakbench-figures-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});
afterEach(() => {
  vi.restoreAllMocks();
});

const AIR = { celsius: '25', kilopascal: '101.325', units: 'si' } as const;

async function run(rig: string | undefined, options: Partial<FiguresOptions>): Promise<string> {
  let printed = '';
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    printed += String(text);
    return true;
  });
  await figures(rig, { ...AIR, ...options });
  return printed;
}

describe('figures', () => {
  test('gives one JSON document and nothing else on standard output, and a sheet where asked', async () => {
    const html = join(folder, 'sheet.html');
    const printed = await run(DEMO_FILE, { json: true, html, install: 'ceiling' });
    expect(JSON.parse(printed)).toMatchObject({ units: 'si', case: { install: 'ceiling' } });
    expect(existsSync(html)).toBe(true);
  });

  test('takes a case without a rig, and says what the fan was taken to move', async () => {
    const printed = await run(undefined, {
      refrigerant: 'R-32',
      charge: '2 kg',
      area: '20 m2',
      height: '2.5 m',
    });
    const flat = printed.replace(/\s+/gu, ' ');
    expect(flat).toContain('no airflow told, installation not told');
    expect(flat).toContain('moves 390.9 m3/h from the start (60 · m / LFL, since none was told)');
  });

  test('says in which air it converts', async () => {
    const printed = await run(DEMO_FILE, { celsius: '40', kilopascal: '90' });
    expect(printed).toContain('In air of 40 °C at 90 kPa');
  });

  test.each([
    [DEMO_FILE, { charge: '2 kg' }, /^--charge is for figures without a rig; leave it or .* out$/u],
    [DEMO_FILE, { outsideAir: '2/h' }, /^--outside-air is for figures without a rig/u],
    [DEMO_FILE, { celsius: 'warm' }, /^--celsius warm: takes a number, -60 to 100$/u],
    [DEMO_FILE, { kilopascal: '0' }, /^--kilopascal 0: takes a number, 40 to 120$/u],
    [
      undefined,
      {},
      /^figures takes a rig file, or a case: --refrigerant, --charge, --area, --height missing/u,
    ],
  ] as const)('refuses %s with %j by one line', async (rig, options, says) => {
    const stopped = await run(rig, options).catch((error: unknown) => error);
    expect(stopped).toBeInstanceOf(Stop);
    expect(stopped).toMatchObject({ exitCode: EXIT.usage, message: expect.stringMatching(says) as string });
  });

  test('says what to do where the sheet cannot be written', async () => {
    const html = join(folder, 'no-such-folder', 'sheet.html');
    const stopped = await run(DEMO_FILE, { html }).catch((error: unknown) => error);
    expect(stopped).toMatchObject({ exitCode: EXIT.surroundings });
  });
});
