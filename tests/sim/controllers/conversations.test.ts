/** The two samples that speak in lines, as processes of their own, in whole drills. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { commandPartner } from '../../../src/app/drill/command-partner.ts';
import { runInLines } from '../../../src/app/drill/run.ts';
import { drillNamed } from '../../mutants/drills.ts';
import { judged } from '../../mutants/judged.ts';
import { inProcess, SOUND } from '../../mutants/variant.ts';
import { freshFolder, nodeCommand, PYTHON } from './commands.ts';

const SEED = 1;
/** What the shell of the pure sample adds is what it keeps over a cut. */
const CUTS = ['cut-in-the-gas', 'locked-out-in-the-dark'];
/** Between them every kind of reason, both cuts, the lock-out, fire, and a flickering call. */
const DRILLS = [
  ...CUTS,
  'gas-lingers',
  'taped-button',
  'fire-and-gas',
  'flickering-call',
  'sensor-loses-supply',
  'exchanged-and-gas',
  'no-number',
  'counter-at-rest',
  'state-against-number',
  'fan-dead',
];

describe.each([
  ['minimal.ts', () => nodeCommand('minimal'), CUTS],
  ['minimal.py', () => PYTHON, DRILLS],
] as const)('%s', (_, command, drills) => {
  const spoken = command();

  test.each(drills)('holds every rule of %s and commands what the pure sample commands', async (name) => {
    const drill = drillNamed(name);
    const run = await runInLines(drill, SEED, commandPartner(spoken, freshFolder()));
    const pure = await runInLines(drill, SEED, inProcess(SOUND));
    expect(judged(drill, run).complaints).toEqual([]);
    expect(run.trace.outputs).toEqual(pure.trace.outputs);
  });

  test('begins in a hold, and locked out where the rig locks out, if it cannot read what it stored', async () => {
    const folder = freshFolder();
    for (const file of ['kept.json', 'kept-py.json']) writeFileSync(join(folder, file), '{"mitig');
    const drill = drillNamed('locked-out-in-the-dark');
    const { trace, trouble } = await runInLines(
      { ...drill, steps: [], lengthMs: drill.lengthMs },
      SEED,
      commandPartner(spoken, folder),
    );
    expect(trouble).toEqual([]);
    expect(trace.outputs.get('fan')?.at(-1)?.value).toBe(true);
    expect(trace.outputs.get('heat')?.some(({ value }) => value)).toBe(false);
  });
});
