/**
 * Controllers of somebody else, as processes that poll over Modbus TCP: a sound one, and six that are wired
 * or set up wrong. Each is judged right: by the rule that names its flaw, and by no other.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { freshFolder } from '../helpers/bench-process.ts';

const MAIN = join(packageRoot(), 'dist/src/app/main.js');
const SAMPLE = join(packageRoot(), 'dist/sim/controllers/modbus.js');
const DRILL = join(import.meta.dirname, 'quick.drill.yaml');
const SPEED = '8';

/** What the rig's own policy is, in bench time. */
const POLICY = {
  holdMs: 20_000,
  silentAfterMs: 4000,
  fanProofWithinMs: 4000,
  compressorMinOffMs: 15_000,
};
const SENSORS = ['coil-a=11:240811', 'coil-b=12:240812', 'grille=input8'];

interface Controller {
  readonly name: string;
  /** In the order of the rules. What it does not see it neither waits for nor announces. */
  readonly breaks: readonly string[];
  readonly sensors?: readonly string[];
  readonly policy?: Partial<typeof POLICY>;
}

const CONTROLLERS: readonly Controller[] = [
  { name: 'a sound one', breaks: [] },
  { name: 'never asks coil-b', breaks: ['ask', 'start'], sensors: ['coil-a=11:240811', 'grille=input8'] },
  { name: 'holds for 8 s', breaks: ['hold'], policy: { holdMs: 8000 } },
  { name: 'waits a minute for an answer', breaks: ['silent', 'announce'], policy: { silentAfterMs: 60_000 } },
  { name: 'starts a compressor again soon', breaks: ['short-cycle'], policy: { compressorMinOffMs: 2000 } },
  { name: 'needs no airflow', breaks: ['prove-fan', 'announce'], policy: { fanProofWithinMs: 3_600_000 } },
  {
    name: 'takes any sensor for the planned one',
    breaks: ['identity', 'announce'],
    sensors: ['coil-a=11', 'coil-b=12', 'grille=input8'],
  },
];

interface Verdict {
  readonly verdict: string;
  readonly rules: readonly { readonly id: string; readonly result: string }[];
}

test.concurrent.each(CONTROLLERS)('$name', { timeout: 180_000 }, async ({ breaks, sensors, policy }) => {
  const { code, verdict } = await drilled(sensors ?? SENSORS, { ...POLICY, ...policy });
  expect(verdict.rules.filter(({ result }) => result === 'broken').map(({ id }) => id)).toEqual(breaks);
  expect(verdict.verdict).toBe(breaks.length === 0 ? 'held' : 'broken');
  expect(code).toBe(breaks.length === 0 ? 0 : 1);
  const held = verdict.rules.filter(({ result }) => result === 'held').map(({ id }) => id);
  expect(held).toEqual(expect.arrayContaining(['respond', 'stay-off']));
});

/** Runs the drill as a command, and the controller as another once it is said where to connect. */
async function drilled(
  sensors: readonly string[],
  policy: object,
): Promise<{ readonly code: number | null; readonly verdict: Verdict }> {
  const live = ['--controller', 'external', '--live', '--speed', SPEED, '--bus', 'tcp://127.0.0.1:0'];
  const junit = join(freshFolder(), 'drill.xml');
  const bench = spawn(process.execPath, [MAIN, 'drill', DRILL, ...live, '--json', '--junit', junit]);
  let stdout = '';
  let stderr = '';
  let controller: ChildProcess | undefined;
  bench.stdout.on('data', (chunk: Buffer) => (stdout += chunk.toString()));
  bench.stderr.on('data', (chunk: Buffer) => {
    stderr += chunk.toString();
    const bus = /listens: line main (tcp:\S+)/u.exec(stderr)?.[1];
    if (bus !== undefined) controller ??= controlledBy(bus, sensors, policy);
  });
  const code = await new Promise<number | null>((resolve) => bench.on('close', resolve));
  controller?.kill('SIGKILL');
  if (stdout === '') throw new Error(`no verdict: ${stderr}`);
  expect(readFileSync(junit, 'utf8'), 'how to run it again').toContain(`--seed 1 ${live.join(' ')}"`);
  const { drills } = JSON.parse(stdout) as { readonly drills: readonly [Verdict] };
  return { code, verdict: drills[0] };
}

function controlledBy(bus: string, sensors: readonly string[], policy: object): ChildProcess {
  const options = [
    '--bus',
    bus,
    '--speed',
    SPEED,
    '--state',
    freshFolder(),
    '--policy',
    JSON.stringify(policy),
  ];
  return spawn(process.execPath, [SAMPLE, ...options, ...sensors], { stdio: 'ignore' });
}
