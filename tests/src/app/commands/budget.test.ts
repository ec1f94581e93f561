/** `budget` tells whether a rig is fast enough: exit code 0, 1 where a limit is broken, 2 for a bad file. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { CAUTIONS } from '../../../../src/app/cautions.ts';
import { type BudgetOptions, budget } from '../../../../src/app/commands/budget.ts';
import { EXIT, Stop } from '../../../../src/app/stop.ts';
import { DEMO_FILE } from '../../../helpers/demo.ts';

const folder = mkdtempSync(join(tmpdir(), 'leakbench-budget-'));
const many = join(folder, 'many.rig.yaml');
const sensors = Array.from(
  { length: 247 },
  (_, index) => `  - { id: s${index}, at: cabinet, line: rooms, unitId: ${index + 1} }`,
);
writeFileSync(
  many,
  `rig: 1
name: Every room
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m }
lines:
  - { id: io, listen: ["tcp://127.0.0.1:1502"] }
  - { id: rooms, listen: ["tcp://127.0.0.1:1503"], pace: { baud: 19200 } }
fieldIo: { line: io }
sensors:
${sensors.join('\n')}
`,
);
const before = process.exitCode;

afterAll(() => {
  rmSync(folder, { recursive: true });
});
beforeEach(() => {
  vi.spyOn(process.stderr, 'write').mockReturnValue(true);
});
afterEach(() => {
  vi.restoreAllMocks();
  process.exitCode = before;
});

interface Ran {
  readonly printed: string;
  readonly stopped: unknown;
  readonly exitCode: typeof process.exitCode;
}

async function run(file: string, options: Partial<BudgetOptions> = {}): Promise<Ran> {
  let printed = '';
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    printed += String(text);
    return true;
  });
  process.exitCode = EXIT.held;
  try {
    await budget(file, { silent: 1, network: '0ms', refresh: '0ms', ...options });
    return { printed, stopped: null, exitCode: process.exitCode };
  } catch (stopped) {
    return { printed, stopped, exitCode: process.exitCode };
  }
}

describe('budget', () => {
  test('no more silent than a line has sensors', async () => {
    expect((await run(DEMO_FILE, { silent: 9 })).printed).toContain('with 2 sensors silent');
  });

  test('of the demo fits, every item with its number, and no colour where nobody sees it', async () => {
    const { printed, exitCode } = await run(DEMO_FILE);
    expect(exitCode).toBe(EXIT.held);
    expect(printed).toMatch(/^Tide Street Library, archive room fits: every limit is met\n/u);
    expect(printed).toMatch(/^ +969 ms {2}sensor response$/mu);
    expect(printed).toMatch(/^ +6269 ms {2}in all until air moves$/mu);
    expect(printed).not.toContain('\u001b');
    expect(printed).not.toContain('What would help');
    expect(printed).toContain('Simulation and training only');
  });

  test('tells a rig of 247 sensors on 19 200 baud what breaks, and what would do', async () => {
    const { printed, exitCode } = await run(many);
    expect(exitCode).toBe(EXIT.broken);
    expect(printed).toMatch(/^Every room does not fit: ask, lostAnswer\n/u);
    expect(printed).toMatch(/33\.23 ms \(51 characters\)/u);
    expect(printed).toMatch(/BROKEN {2}ask \(rooms\)/u);
    expect(printed).toMatch(/Every limit met: run line rooms at \d+ baud/u);
  });

  test('gives one JSON document, times that never come as null', async () => {
    const { printed, exitCode } = await run(many, { json: true, silent: 2 });
    expect(exitCode).toBe(EXIT.broken);
    const document = JSON.parse(printed) as Record<string, unknown>;
    expect(document).toMatchObject({ rig: 'Every room', unit: 'ms', fits: false, cautions: CAUTIONS });
    expect(document['assumptions']).toEqual({ silent: 2, networkMs: 0, refreshMs: 0 });
    const deaf = join(folder, 'deaf.rig.yaml');
    writeFileSync(
      deaf,
      readFileSync(DEMO_FILE, 'utf8').replace(
        'timeout: 300 ms',
        'timeout: 10 ms, pace: { baud: 9600, timeout: 5 ms }',
      ),
    );
    const never = JSON.parse((await run(deaf, { json: true })).printed) as {
      response: { airflowMs: unknown };
    };
    expect(never.response.airflowMs).toBeNull();
  });

  test('ends with 2 on a bad file and on times without a unit', async () => {
    const bad = join(folder, 'bad.rig.yaml');
    writeFileSync(bad, 'rig: 1\n');
    expect((await run(bad)).stopped).toMatchObject({ exitCode: EXIT.usage });
    const { stopped } = await run(DEMO_FILE, { network: '5' });
    expect(stopped).toBeInstanceOf(Stop);
    expect(stopped).toMatchObject({
      exitCode: EXIT.usage,
      message: expect.stringMatching(/^--network 5: 5 needs its unit, such as "5 ms"$/u) as string,
    });
    expect((await run(DEMO_FILE, { refresh: '-1 s' })).stopped).toMatchObject({ exitCode: EXIT.usage });
  });

  test('ends with 3 where the sheet cannot be written', async () => {
    const { stopped } = await run(DEMO_FILE, { html: join(folder, 'no', 'such.html') });
    expect(stopped).toMatchObject({ exitCode: EXIT.surroundings });
  });
});

describe('the sheet', () => {
  test('has words beside every segment of the bar, no script, and the cautions', async () => {
    const html = join(folder, 'budget.html');
    await run(many, { html });
    const text = readFileSync(html, 'utf8');
    for (const name of ['1. sensor response', '3. poll phase, just missed', '9. fan, from rest to airflow'])
      expect(text).toContain(name);
    expect(text).toMatch(/<svg class="budget-bar"[^>]* role="img" aria-label="sensor response 969 ms, /u);
    expect(text).not.toMatch(/<script|https?:\/\/(?!127)/u);
    for (const caution of CAUTIONS) expect(text).toContain(caution);
    expect(text).toContain('run line rooms at');
  });

  test('says so where mitigation never comes', async () => {
    const html = join(folder, 'never.html');
    await run(join(folder, 'deaf.rig.yaml'), { html });
    expect(readFileSync(html, 'utf8')).toContain('Mitigation never comes this way');
  });
});
