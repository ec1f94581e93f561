/** Drills in virtual time: the same bytes for the same seed, and controllers that do not keep to it. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { commandPartner } from '../../../../src/app/drill/command-partner.ts';
import { type DrillRun, runBuiltIn, runInLines } from '../../../../src/app/drill/run.ts';
import { Stop } from '../../../../src/app/stop.ts';
import { ms } from '../../../../src/units/index.ts';
import { freshFolder } from '../../../helpers/bench-process.ts';
import { shippedDrill } from '../../../helpers/shipped-drills.ts';

const LOSSY = shippedDrill('lossy-wire');
const SHORT = { ...shippedDrill('cut-in-the-hold'), lengthMs: LOSSY.lengthMs };

function asText(run: DrillRun): string {
  const plain = (_: string, value: unknown): unknown => (value instanceof Map ? [...value] : value);
  return JSON.stringify(run, plain);
}

describe('a run in virtual time', () => {
  test('is the same to the last byte for the same seed, and another for another', () => {
    const [first, again, other] = [1, 1, 2].map((seed) => asText(runBuiltIn(LOSSY, seed)));
    expect(again).toBe(first);
    expect(other).not.toBe(first);
  });

  test('ends where the drill does, and tells nothing after it', () => {
    const { trace } = runBuiltIn(LOSSY, 1);
    expect(trace.endMs).toBe(LOSSY.lengthMs);
    const last = trace.sensors.flatMap(({ requests }) => requests.map(({ atMs }) => atMs));
    expect(Math.max(...last)).toBeLessThanOrEqual(LOSSY.lengthMs);
    expect(Math.max(...last)).toBeGreaterThan(LOSSY.lengthMs - 2000);
  });

  test('tells a step that could not be carried out', () => {
    const release = { kind: 'release', at: 'cabinet', rateKgPerS: 1, lastsMs: null } as const;
    const steps = [10_000, 60_000].map((atMs) => ({ atMs: ms(atMs), step: release }));
    const { leftOut } = runBuiltIn({ ...LOSSY, steps }, 1);
    expect(leftOut).toEqual([
      'the step at 60 s was not carried out: release: the charge is gone already; a fresh start of the bench brings a full one',
    ]);
  });
});

const SOUND = `{"fan":true,"damper":true,"heat":false,"alarm":false,"trouble":false,"compressors":{"a":false,"b":false}}`;

/** A controller of a few lines of Node; `each` runs for every line, with \`n\` counting the lines. */
function controller(each: string): string {
  const file = join(freshFolder(), 'controller.mjs');
  const head = `import { createInterface } from 'node:readline';
    import { appendFileSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
    const dir = process.env.LEAKBENCH_STATE_DIR; let n = 0;
    const say = (text) => process.stdout.write(text + '\\n');
    const sound = ${JSON.stringify(SOUND)};
    createInterface({ input: process.stdin }).on('line', (line) => { n += 1; const m = JSON.parse(line);`;
  writeFileSync(file, `${head}\n${each}\n});\n`);
  return `${process.execPath} ${file}`;
}

const KEEPS_TO_IT = `if (m.reset) say('{"ready":true}'); else say(sound);`;

function run(each: string, folder = freshFolder()): Promise<DrillRun> {
  return runInLines(SHORT, 1, commandPartner(controller(each), folder));
}

/** Neither gone nor a zombie that only waits for its parent to hear of its end. */
function isAlive(pid: number): boolean {
  const status = existsSync(`/proc/${pid}/status`) ? readFileSync(`/proc/${pid}/status`, 'utf8') : '';
  return status !== '' && !/^State:\s+[ZX]/mu.test(status);
}

describe('a controller that is spoken to in lines', () => {
  test('is told the plan, then every cycle what came; what it answers takes effect at once', async () => {
    const folder = freshFolder();
    const { trace, trouble } = await run(
      `appendFileSync(dir + '/told', line + '\\n'); ${KEEPS_TO_IT}`,
      folder,
    );
    expect(trouble).toEqual([]);
    const told = readFileSync(join(folder, 'told'), 'utf8').trim().split('\n');
    const lines = told.map((line) => JSON.parse(line) as Record<string, unknown>);
    expect(lines[0]).toMatchObject({
      reset: true,
      pollEveryMs: 1000,
      policy: { setpointPercentLfl: 20, holdMs: 300_000, latchTrips: null },
      sensors: [
        { id: 'coil-a', kind: 'modbus', serial: '240811' },
        { id: 'coil-b', kind: 'modbus', serial: '240812' },
        { id: 'grille', kind: 'contact', contact: 'opens-on-gas' },
      ],
      circuits: ['a', 'b'],
      heat: true,
    });
    expect(lines[1]).toMatchObject({ t: 0, sensors: { grille: { answered: true, closed: true } } });
    expect(lines.find((line) => line['t'] === 20_000)).toMatchObject({
      sensors: { 'coil-a': { answered: true, state: 'measuring', gasPercentLfl: 0, serial: '240811' } },
      calls: { cooling: true, heating: false, fan: false },
      airflowProven: true,
      compressorRunning: { a: false, b: false },
      serviceReset: false,
      fire: false,
    });
    expect(trace.outputs.get('fan')).toEqual([
      { atMs: 0, value: false },
      { atMs: 0, value: true },
    ]);
  });

  test('loses everything but its folder by a power cut, and is told the plan again; time goes on', async () => {
    const folder = freshFolder();
    await run(
      `const file = dir + '/starts';
       if (m.reset) writeFileSync(file, (existsSync(file) ? readFileSync(file) : '') + 'x');
       if (n === 2) appendFileSync(dir + '/first', m.t + ' '); ${KEEPS_TO_IT}`,
      folder,
    );
    expect(readFileSync(join(folder, 'starts'), 'utf8')).toBe('xx');
    expect(readFileSync(join(folder, 'first'), 'utf8')).toBe('0 160000 ');
  });

  test.each([
    [
      'dies',
      `if (n > 30) { process.stderr.write('out of breath\\n'); process.exit(7); } ${KEEPS_TO_IT}`,
      /at 29 s .* ended by itself with exit code 7/u,
      'out of breath',
    ],
    ['says no JSON', `if (n > 30) say('hello'); else ${KEEPS_TO_IT}`, /at 29 s .* not JSON: hello/u, 'hello'],
    [
      'leaves an output out',
      `if (n > 30) say('{"fan":true}'); else { ${KEEPS_TO_IT} }`,
      /no set of commands: damper: is missing/u,
      '{"fan":true}',
    ],
    ['speaks unasked', `${KEEPS_TO_IT} if (n === 5) say(sound);`, /a line that nobody asked for/u, SOUND],
    ['is not ready', `say('{"ready":false}');`, /answered the plan with/u, '{"ready":false}'],
  ])('that %s is trouble, said with the moment and its last lines', async (_, each, says, last) => {
    const { trouble } = await run(each);
    expect(trouble[0]).toMatch(says);
    expect(trouble.at(-1)).toBe(last);
  });

  test('that hangs is given up after 5 s, and leaves no process behind, nor its children', async () => {
    const folder = freshFolder();
    const each = `if (m.reset) {
        const child = (await import('node:child_process')).spawn('sleep', ['600'], { stdio: 'ignore' });
        writeFileSync(dir + '/pids', process.pid + ' ' + child.pid);
        say('{"ready":true}');
      }`;
    const asynchronous = each
      .replace('if (m.reset) {', 'if (m.reset) void (async () => {')
      .replace(/\}$/u, '})();');
    const { trouble } = await run(asynchronous, folder);
    expect(trouble[0]).toMatch(/at 0 s .* did not answer within 5 s/u);
    const pids = readFileSync(join(folder, 'pids'), 'utf8').split(' ').map(Number);
    expect(pids).toHaveLength(2);
    // Who was killed is there until somebody has taken note of it.
    await expect.poll(() => pids.filter(isAlive), { timeout: 10_000 }).toEqual([]);
  });

  test.each([
    ['no-such-command-here', /exit code 127.*\n.*no-such-command-here: not found/u],
    ['/dev/null', /exit code 126.*\n.*ermission denied/u],
  ])('that cannot be started is none: %s stops the run', async (command, says) => {
    const run = runInLines(SHORT, 1, commandPartner(command, freshFolder()));
    await expect(run).rejects.toThrow(says);
    await expect(run).rejects.toBeInstanceOf(Stop);
  });

  test('that ends so once it was ready, or only after a power cut, is trouble', async () => {
    const late = await run(`if (!m.reset) process.exit(127); ${KEEPS_TO_IT}`);
    expect(late.trouble[0]).toMatch(/exit code 127/u);
    const cut = `if (m.reset && existsSync(dir + '/was')) process.exit(127); writeFileSync(dir + '/was', ''); `;
    const { trouble } = await run(cut + KEEPS_TO_IT);
    expect(trouble[0]).toMatch(/^at [1-9]\d* s .* exit code 127/u);
  });
});
